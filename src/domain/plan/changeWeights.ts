/**
 * Edits of what the evidence on origin is weighed and measured with. A table that goes out of use stays on record with the
 * verdicts that its successor changed, so that what a seed lot was gathered under can be told later.
 */
import { compareTables } from '../vetting/origin/compareTables.ts';
import { judge } from '../vetting/origin/judge.ts';
import { ORIGIN_VERDICTS, type OriginColumns } from '../vetting/origin/types.ts';
import { builtInWeights } from '../vetting/origin/weights.ts';
import { weightsOf } from '../vetting/origin/weightsOf.ts';
import type { Change } from './change.ts';
import type { EvidenceSettings, OriginWeights, PastWeights, PieceWeight, Plan } from './schema.ts';

/** Candidates on screen with the evidence on them; null where nothing is vetted yet: no verdicts can be kept then. */
export type Judged = { readonly ids: readonly string[]; readonly origin: OriginColumns } | null;

/** Why a table went out of use where it was changed by hand. */
export const EDITED = 'edited by hand';

/** "built-in 2, edited"; edited anew on a later day: "built-in 2, edited 2". */
export function editedVersion(version: string): string {
  const again = /^(.*, edited)(?: (\d+))?$/.exec(version);
  return again ? `${again[1]} ${Number(again[2] ?? 1) + 1}` : `${version}, edited`;
}

/** What a table weighs with, without its name and notes. */
const weighing = ({ prior, pieces }: OriginWeights): string =>
  JSON.stringify([prior, pieces.map(({ piece, steps, classes }) => [piece, steps, classes])]);

const sameTable = (a: OriginWeights, b: OriginWeights): boolean =>
  a.version === b.version &&
  a.note === b.note &&
  JSON.stringify(a.pieces) === JSON.stringify(b.pieces) &&
  a.prior === b.prior;

/** What candidates were under a table, those alone that another one changes. */
function changedVerdicts(table: OriginWeights, next: OriginWeights, judged: Judged): PastWeights['verdicts'] {
  if (!judged) return {};
  // Weighed here: what is on screen may still be that of an earlier table.
  const was = judge(judged.origin.evidence, table, judged.origin);
  return Object.fromEntries(
    Array.from(compareTables(was, next).changed, (row) => [
      judged.ids[row],
      { verdict: ORIGIN_VERDICTS[was.verdict[row]], probability: was.probability[row] },
    ]),
  );
}

function withTable(plan: Plan, table: OriginWeights, past: PastWeights[], note: string): Change {
  const { originWeights: _old, ...rest } = plan;
  const kept = { ...rest, pastWeights: past };
  return {
    note,
    before: plan,
    after: sameTable(table, builtInWeights) ? kept : { ...kept, originWeights: table },
  };
}

/**
 * Another table takes the place of the one in use, which goes on record.
 * @param why what took its place: "file hills.json", "the built-in table", "re-fitted on 42 outcomes".
 * @param date ISO, of the day.
 */
export function replaceWeights(
  plan: Plan,
  next: OriginWeights,
  why: string,
  date: string,
  judged: Judged,
): Change {
  const table = weightsOf(plan);
  const note = `Change the evidence weights (${why})`;
  if (sameTable(table, next)) return { note, before: plan, after: plan };
  const verdicts = changedVerdicts(table, next, judged);
  return withTable(
    plan,
    next,
    [...plan.pastWeights, { table, version: table.version, until: date, why, verdicts }],
    note,
  );
}

/**
 * Changes the table in use by hand. Before the first edit of a day the table goes on record and the edited one gets a
 * version of its own; further edits of that day belong to the same. A new name or note alone changes no verdict: nothing is
 * put on record for it.
 */
export function editWeights(plan: Plan, part: Partial<OriginWeights>, date: string, judged: Judged): Change {
  const table = weightsOf(plan);
  const next = { ...table, ...part };
  const note = 'Change the evidence weights';
  if (sameTable(table, next)) return { note, before: plan, after: plan };
  const past = plan.pastWeights;
  if (weighing(next) === weighing(table)) {
    const version = part.version ?? (plan.originWeights ? table.version : editedVersion(table.version));
    return withTable(plan, { ...next, version }, past, note);
  }
  const last = past.at(-1);
  const going = last?.why === EDITED && last.until === date && table.version === editedVersion(last.version);
  const before = going ? last : { table, version: table.version, until: date, why: EDITED };
  const version = part.version ?? (going ? table.version : editedVersion(table.version));
  const record = { ...before, verdicts: changedVerdicts(before.table, next, judged) };
  return withTable(plan, { ...next, version }, [...(going ? past.slice(0, -1) : past), record], note);
}

const withPiece = (table: OriginWeights, id: string, edit: (w: PieceWeight) => PieceWeight): PieceWeight[] =>
  table.pieces.some((p) => p.piece === id)
    ? table.pieces.map((p) => (p.piece === id ? edit(p) : p))
    : [...table.pieces, edit({ piece: id, note: '' })];

/** The pieces of a table with another ratio for one word of a piece. */
export const withRatio = (table: OriginWeights, id: string, word: string, ratio: number): PieceWeight[] =>
  withPiece(table, id, (p) => ({ ...p, classes: { ...p.classes, [word]: ratio } }));

/** The pieces of a table with another step of a piece; the last step has no limit. */
export const withStep = (
  table: OriginWeights,
  id: string,
  index: number,
  step: { readonly below?: number; readonly ratio: number },
): PieceWeight[] =>
  withPiece(table, id, (p) => ({ ...p, steps: p.steps?.map((s, i) => (i === index ? step : s)) ?? [step] }));

export const withNote = (table: OriginWeights, id: string, note: string): PieceWeight[] =>
  withPiece(table, id, (p) => ({ ...p, note }));

/** What the evidence is measured with. */
export const setEvidence = (plan: Plan, part: Partial<EvidenceSettings>): Change => ({
  note: 'Change what the evidence is measured with',
  before: plan,
  after: { ...plan, evidence: { ...plan.evidence, ...part } },
});

/** Years an inch of diameter for a species; null: those of the table of species, or none. */
export function setGrowth(plan: Plan, species: string, years: number | null): Change {
  const { [species]: _old, ...rest } = plan.evidence.growth;
  return setEvidence(plan, { growth: years === null ? rest : { ...rest, [species]: years } });
}
