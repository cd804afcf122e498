import { rng, shuffle } from '../../base/rng.ts';
import type { OriginWeights } from '../../plan/schema.ts';
import { definitionOf } from '../readFrom.ts';
import { answersOf, type Answers } from './answers.ts';
import { isOpen, isOpenVerdict } from './isOpen.ts';
import { discount, probabilityOf } from './odds.ts';
import { pieceOf } from './pieces.ts';
import { rowLogs } from './rowLogs.ts';
import type { EvidenceColumn, OriginColumns, SettlingSource } from './types.ts';
import { verdictOf } from './verdictOf.ts';
import { themeGroups } from './weigher.ts';

/** Trees whose answers stand for those that a source gives elsewhere: at most so many, drawn on this seed. */
const DONORS = 200;
const SEED = 20;
/** Rows between two pauses at most; a state that is worked out anew is followed by one as well. */
const PAUSE = 2048;

/** Log ratios that a source gives to its pieces at one tree (NaN not known), and how likely that is. */
interface Reply {
  readonly logs: readonly number[];
  readonly chance: number;
}

/** What each of several replies does to trees of one state: to their log odds, and to how many themes are known. */
interface Effect {
  readonly moves: Float64Array;
  readonly themes: Uint8Array;
}

/**
 * What to open or to record next: for each layer definition, and each thing that is recorded at the tree, how many of the
 * trees that are not settled lack all of its pieces of evidence, how many of them some combination of its answers would
 * settle, and how many would be settled by the answers that are met elsewhere.
 *
 * Those are the joint answers of up to 200 trees, drawn on a fixed seed from all where the source says something. Where it
 * says nothing yet anywhere, every combination of the answers in the table is taken as equally likely, which is a guess.
 *
 * @param table that the columns were judged with. @param rows that are asked about; of those only the open ones count.
 * @returns sources that some open tree lacks: most expected first, then most that it could settle.
 */
export function whatWouldSettle(
  columns: OriginColumns,
  table: OriginWeights,
  rows: readonly number[],
): SettlingSource[] {
  return bySize([...settling(columns, table, rows)].filter((s) => s !== null));
}

/** Most expected first, then most that it could settle. */
export const bySize = (sources: readonly SettlingSource[]): SettlingSource[] =>
  sources.toSorted((a, b) => b.expected - a.expected || b.could - a.could || b.lacking - a.lacking);

/** The same in pieces, for a screen that must not wait: source after source as it is known, null for a pause in between. */
export function* settling(
  columns: OriginColumns,
  table: OriginWeights,
  rows: readonly number[],
): Generator<SettlingSource | null, void> {
  const { evidence, logOdds, themes } = columns;
  const open = rows.filter((row) => isOpen(columns, row));
  const answers = evidence.map((e) =>
    answersOf(
      table.pieces.find((w) => w.piece === e.piece),
      e.words,
    ),
  );
  const groups = themeGroups(evidence.map((e) => e.piece));
  const settles = (row: number, move: number, more: number): boolean =>
    !isOpenVerdict(verdictOf(probabilityOf(logOdds[row] + move), themes[row] + more));

  for (const { definition, at } of sourcesOf(evidence)) {
    const pieces = at.map((p) => evidence[p].piece);
    const knows = (row: number): boolean => at.some((p) => !Number.isNaN(evidence[p].value[row]));
    const lacking = open.filter((row) => !knows(row));
    let could = 0;
    let expected = 0;
    if (lacking.length > 0) {
      const all = allReplies(at.map((p) => answers[p]));
      const met = metReplies(columns, at, knows) ?? all;
      // Only the themes of the source's pieces change: what replies do is worked out once for each state of those.
      const affected = groups.filter((group) => group.some((p) => at.includes(p)));
      const stateOf = stateCoder(evidence, answers, affected.flat());
      const effects = new Map<number, { all: Effect; met: Effect }>();
      let done = 0;
      for (const row of lacking) {
        if (++done % PAUSE === 0) yield null;
        const state = stateOf(row);
        let effect = effects.get(state);
        if (!effect) {
          const logs = rowLogs(evidence, row);
          effect = { all: effectOf(logs, affected, at, all), met: effectOf(logs, affected, at, met) };
          effects.set(state, effect);
          yield null;
        }
        const { moves, themes: more } = effect.all;
        if (moves.some((move, r) => settles(row, move, more[r]))) could++;
        met.forEach(({ chance }, r) => {
          if (settles(row, effect.met.moves[r], effect.met.themes[r])) expected += chance;
        });
      }
    }
    if (lacking.length > 0) yield { definition, pieces, lacking: lacking.length, could, expected };
    else yield null;
  }
}

/** Pieces by what they are read from, as indices into the evidence: those of one layer together, the others each alone. */
function sourcesOf(evidence: readonly EvidenceColumn[]): Array<{ definition: string; at: number[] }> {
  const byLayer = new Map<string, number[]>();
  const alone: number[][] = [];
  evidence.forEach((e, p) => {
    const piece = pieceOf(e.piece);
    if (!piece) return;
    const definition = piece.from === '' ? '' : definitionOf(piece.from);
    if (definition === '') alone.push([p]);
    else byLayer.set(definition, [...(byLayer.get(definition) ?? []), p]);
  });
  return [
    ...[...byLayer].map(([definition, at]) => ({ definition, at })),
    ...alone.map((at) => ({ definition: '', at })),
  ];
}

/** Every combination of the answers in the table, equally likely; a piece that it has no answers for counts ×1. */
function allReplies(answers: readonly Answers[]): Reply[] {
  let combinations: number[][] = [[]];
  for (const { logs } of answers) {
    const own = logs.length > 0 ? [...new Set(logs)] : [0];
    combinations = combinations.flatMap((logsBefore) => own.map((log) => [...logsBefore, log]));
  }
  return combinations.map((logs) => ({ logs, chance: 1 / combinations.length }));
}

/** The joint answers of trees where the source says something; null where there are none. */
function metReplies(
  { evidence, decided }: OriginColumns,
  at: readonly number[],
  knows: (row: number) => boolean,
): Reply[] | null {
  const donors: number[] = [];
  for (let row = 0; row < decided.length; row++) if (knows(row)) donors.push(row);
  if (donors.length === 0) return null;
  const drawn = donors.length > DONORS ? shuffle(donors, rng(SEED)).slice(0, DONORS) : donors;
  const byText = new Map<string, { logs: number[]; chance: number }>();
  for (const row of drawn) {
    const logs = at.map((p) => (Number.isNaN(evidence[p].value[row]) ? NaN : evidence[p].logRatio[row]));
    const text = logs.join();
    const same = byText.get(text);
    if (same) same.chance += 1 / drawn.length;
    else byText.set(text, { logs, chance: 1 / drawn.length });
  }
  return [...byText.values()];
}

/** A number for the answers that a row has to some pieces, the same for the same answers. */
function stateCoder(
  evidence: readonly EvidenceColumn[],
  answers: readonly Answers[],
  pieces: readonly number[],
): (row: number) => number {
  return (row) => {
    let code = 0;
    for (const p of pieces) {
      const value = evidence[p].value[row];
      code = code * (answers[p].logs.length + 2) + (Number.isNaN(value) ? 0 : answers[p].indexOf(value) + 2);
    }
    return code;
  };
}

/** @param logs of a row that lacks the pieces `at`. @param affected the themes that they belong to. */
function effectOf(
  logs: Float64Array,
  affected: ReadonlyArray<readonly number[]>,
  at: readonly number[],
  replies: readonly Reply[],
): Effect {
  const sumOf = (group: readonly number[], given: Float64Array): number => {
    const counted = new Float64Array(group.length);
    discount(
      group.map((p) => given[p]),
      counted,
    );
    return counted.reduce((a, b) => a + b, 0);
  };
  const knownOf = (group: readonly number[], given: Float64Array): boolean =>
    group.some((p) => !Number.isNaN(given[p]));
  const moves = new Float64Array(replies.length);
  const themes = new Uint8Array(replies.length);
  replies.forEach((reply, r) => {
    const given = Float64Array.from(logs);
    at.forEach((p, k) => (given[p] = reply.logs[k]));
    for (const group of affected) {
      moves[r] += sumOf(group, given) - sumOf(group, logs);
      if (knownOf(group, given) && !knownOf(group, logs)) themes[r]++;
    }
  });
  return { moves, themes };
}
