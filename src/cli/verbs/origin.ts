import { fail, ok, sentence, type Note, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Candidates } from '../../domain/candidates/candidates.ts';
import { SETTINGS } from '../../domain/layers/settings.ts';
import type { OriginWeights, Plan } from '../../domain/plan/schema.ts';
import { OAKS, resolveSpecies } from '../../domain/species/species.ts';
import { origin as judged } from '../../domain/vetting/origin/origin.ts';
import { parseWeights } from '../../domain/plan/parseWeights.ts';
import { weightNotes } from '../../domain/vetting/origin/weights.ts';
import { weightsOf } from '../../domain/vetting/origin/weightsOf.ts';
import { READ_FROM } from '../../domain/vetting/readFrom.ts';
import type { Weighed } from '../../domain/vetting/sheet.ts';
import { csvRow } from '../../io/write/csv.ts';
import { originColumns, originRecord } from '../../io/write/origin.ts';
import { editedCandidates } from '../../jobs/handlers/candidates.ts';
import { followPlan, type Desk } from '../../jobs/handlers/desk.ts';
import { measure } from '../../jobs/handlers/measure.ts';
import { memoOf } from '../../jobs/handlers/memo.ts';
import { optional, readOptions } from '../arguments.ts';
import { openPlan, plantingsOf, readPlan } from '../openPlan.ts';
import { pathSource } from '../pathSource.ts';
import type { Verb } from '../verb.ts';

/** Layers that origin is read from; heights and zones say nothing of it. */
const READ = new Set(
  ['candidates', ...Object.keys(READ_FROM)].filter((d) => d !== 'elevation' && d !== 'zones'),
);
/** Candidates a piece of output. */
const PIECE = 500;

export const origin: Verb = {
  name: 'origin',
  usage: 'origin PLAN [--planting ID] [--weights FILE]',
  help: [
    'Whether each candidate likely grew by itself or was planted: odds, verdict and every piece of evidence, weighed.',
    '--planting  only candidates of the species of that planting; all candidates unless given (origin hangs on no planting)',
    '--weights   a table of evidence weights, in place of the plan’s',
    'A line of CSV a candidate: for each piece of evidence its value, its ratio in the table, and what of it counted.',
    'JSON: {title, weights:{version, note, prior}, settings, notes, candidates:[{id, species, lon, lat, odds, evidence_probability,',
    'probability, verdict, decided, decided_by, themes, evidence:[{piece, title, theme, value, unit or word, ratio, counted, detail,',
    'from:{layer, source, date}}], not_known}]}; odds and evidence_probability are what the evidence says, probability and verdict',
    'follow a decision on record; from is null where it stands in the candidate’s own record. Verdicts are likelihoods, no proof.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('origin', args, ['planting', 'weights']);
    if (!options.ok) return options;
    const [path, more] = options.value.rest;
    if (path === undefined || more !== undefined)
      return fail('usage', 'origin', 'needs one plan file', 'See kinstand origin --help.');
    const read = await readPlan(path);
    if (!read.ok) return read;
    const plan = read.value;
    const species = speciesAsked(plan, path, optional(options.value, 'planting'));
    if (!species.ok) return species;
    const table = await tableAsked(plan, optional(options.value, 'weights'));
    if (!table.ok) return table;
    const opened = await openPlan(plan, path, work, (entry) => READ.has(entry.definition));
    if (!opened.ok) return opened;
    const made = await judgeAll(opened.value.desk, plan, table.value.table, work);
    if (!made.ok) return made;

    const { candidates, weighed } = made.value;
    const rows = Array.from({ length: candidates.n }, (_, row) => row).filter(
      (row) => species.value === null || candidates.species[row] === species.value,
    );
    const notes = [...made.value.notes, ...table.value.notes];
    return ok({
      json: null,
      lines: [],
      notes,
      stream: (json) =>
        json
          ? document(plan, table.value.table, notes, weighed, candidates, rows)
          : lines(plan, weighed, candidates, rows),
    });
  },
};

/** Index of the species of the planting that is named; null where none is. */
function speciesAsked(plan: Plan, path: string, id: string | null): Result<number | null> {
  if (id === null) return ok(null);
  const plantings = plantingsOf(plan, path, id);
  if (!plantings.ok) return plantings;
  const [planting] = plantings.value;
  const { species } = resolveSpecies(planting.species);
  return species in OAKS
    ? ok(species)
    : fail(
        'plan',
        path,
        `planting "${planting.id}" is of "${planting.species}", which is not in the table of species`,
        'Leave --planting out for all candidates.',
      );
}

async function tableAsked(
  plan: Plan,
  path: string | null,
): Promise<Result<{ table: OriginWeights; notes: readonly Note[] }>> {
  if (path === null) {
    const table = weightsOf(plan);
    return ok({ table, notes: weightNotes(table) });
  }
  const source = pathSource(path);
  if (!source.ok) return source;
  const bytes = await source.value.readAll();
  if (!bytes.ok) return bytes;
  const parsed = parseWeights(new TextDecoder().decode(bytes.value), path);
  if (parsed.ok) return ok(parsed);
  const [first, ...rest] = parsed.faults;
  // Every fault is said, each in a line of its own.
  return { ok: false, failure: { ...first, todo: [first.todo, ...rest.map(sentence)].join('\n') } };
}

async function judgeAll(
  desk: Desk,
  plan: Plan,
  table: OriginWeights,
  work: Work,
): Promise<Result<{ candidates: Candidates; weighed: Weighed; notes: readonly Note[] }>> {
  followPlan(desk, plan.layers);
  const joined = editedCandidates(desk, plan.candidates);
  if (!joined.ok) return joined;
  const { candidates, notes } = joined.value;
  if (candidates.n === 0)
    return fail('content', 'Candidates', 'there are none in the plan', 'Add a layer of candidates.');
  // With no site nothing is said of moves, and other oaks nearby are not asked for.
  const measured = await measure(desk, candidates, [], 0, plan.evidence, work, memoOf(desk));
  if (!measured.ok) return measured;
  const { measures, provenance } = measured.value;
  const input = { candidates, measures, settingNames: SETTINGS, settings: plan.evidence };
  return ok({
    candidates,
    notes,
    weighed: {
      measures,
      provenance,
      settingNames: SETTINGS,
      evidence: plan.evidence,
      origin: judged(input, table, plan.statements),
    },
  });
}

function* document(
  plan: Plan,
  { version, note, prior }: OriginWeights,
  notes: readonly Note[],
  weighed: Weighed,
  candidates: Candidates,
  rows: readonly number[],
): Generator<string> {
  const head = {
    title: plan.title,
    ...(plan.notice ? { notice: plan.notice } : {}),
    weights: { version, note, prior },
    settings: plan.evidence,
    notes: notes.map((n) => `${n.where}: ${n.what}`),
  };
  yield `${JSON.stringify(head, null, 2).slice(0, -2)},\n  "candidates": [\n`;
  yield* pieces(rows, (row) => JSON.stringify(originRecord(weighed, candidates, row)), ',\n');
  yield '\n]}\n';
}

function* lines(
  plan: Plan,
  weighed: Weighed,
  candidates: Candidates,
  rows: readonly number[],
): Generator<string> {
  const columns = [
    ...originColumns(weighed, candidates),
    ...(plan.notice ? [{ name: 'notice', cell: () => plan.notice }] : []),
  ];
  yield csvRow(columns.map((c) => c.name));
  yield* pieces(rows, (row) => csvRow(columns.map((c) => c.cell(row))), '');
}

function* pieces(rows: readonly number[], text: (row: number) => string, between: string): Generator<string> {
  for (let i = 0; i < rows.length; i += PIECE) {
    yield (
      (i > 0 ? between : '') +
      rows
        .slice(i, i + PIECE)
        .map(text)
        .join(between)
    );
  }
}
