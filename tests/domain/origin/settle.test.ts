/** What would settle the open trees, against every answer tried on every tree. */
import { describe, expect, test } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import type { OriginWeights } from '../../../src/domain/plan/schema.ts';
import { judge } from '../../../src/domain/vetting/origin/judge.ts';
import { pieceOf } from '../../../src/domain/vetting/origin/pieces.ts';
import { whatWouldSettle } from '../../../src/domain/vetting/origin/settle.ts';
import type { EvidenceValues, OriginColumns } from '../../../src/domain/vetting/origin/types.ts';
import { definitionOf } from '../../../src/domain/vetting/readFrom.ts';
import { drawEvidence, drawTable, undecided, weighedByHand } from './make.ts';

const N = 60;
const table = drawTable(rng(8), 0.9);

/** The pieces of a layer are known together or not at all, as they are where a layer reaches; `never`: those that nobody has. */
function layered(seed: number, never: readonly string[] = []): EvidenceValues[] {
  const random = rng(seed);
  const values = drawEvidence(random, N, 1);
  const has = new Map<string, boolean[]>();
  for (const e of values) {
    const from = pieceOf(e.piece)?.from ?? '';
    const source = (from === '' ? '' : definitionOf(from)) || e.piece;
    const known = has.get(source) ?? Array.from({ length: N }, () => random() < 0.4);
    has.set(source, known);
    for (let row = 0; row < N; row++) if (!known[row] || never.includes(source)) e.value[row] = NaN;
    // Some know less than all of it.
    if (e.piece === 'cover') for (let row = 0; row < N; row += 3) e.value[row] = NaN;
  }
  return values;
}

const settled = (evidence: readonly EvidenceValues[]): boolean =>
  ['likely natural', 'likely planted'].includes(weighedByHand(evidence, table, 0).verdict);

/** One row, with some pieces answered otherwise. */
const given = (
  evidence: readonly EvidenceValues[],
  row: number,
  answers: ReadonlyMap<string, number>,
): EvidenceValues[] =>
  evidence.map((e) => ({ ...e, value: Float64Array.of(answers.get(e.piece) ?? e.value[row]) }));

function byTrying(columns: OriginColumns, rows: readonly number[], pieces: readonly string[]): number[] {
  const { evidence } = columns;
  const own = evidence.filter((e) => pieces.includes(e.piece));
  const knows = (row: number): boolean => own.some((e) => !Number.isNaN(e.value[row]));
  const open = rows.filter((row) => columns.decided[row] === 0 && !settled(given(evidence, row, new Map())));
  const lacking = open.filter((row) => !knows(row));
  let combinations = [new Map<string, number>()];
  for (const { piece, words } of own) {
    const answers = words ? words.map((_, w) => w) : [0.1, 0.5, 0.9];
    combinations = combinations.flatMap((c) => answers.map((a) => new Map(c).set(piece, a)));
  }
  const donors = Array.from({ length: N }, (_, row) => row).filter(knows);
  const met =
    donors.length > 0 ? donors.map((row) => new Map(own.map((e) => [e.piece, e.value[row]]))) : combinations;
  const share = (row: number, replies: typeof met): number =>
    replies.filter((r) => settled(given(evidence, row, r))).length / replies.length;
  return [
    lacking.length,
    lacking.filter((row) => share(row, combinations) > 0).length,
    lacking.reduce((sum, row) => sum + share(row, met), 0),
  ];
}

describe.each([
  [1, []],
  [2, ['buildings', 'notes', 'native-range']],
])('evidence %d; nobody has %s', (seed, never) => {
  const decisions = undecided(N);
  decisions.decided[1] = 2;
  const columns = judge(layered(seed, never), table, decisions);
  const rows = Array.from({ length: N }, (_, row) => row).filter((row) => row % 5 !== 0);
  const found = whatWouldSettle(columns, table, rows);

  test('each source: trees that lack it, that some answer settles, that the answers met elsewhere settle', () => {
    expect(found.length).toBeGreaterThan(8);
    for (const { pieces, lacking, could, expected } of found) {
      const tried = byTrying(columns, rows, pieces);
      expect([pieces, lacking, could]).toEqual([pieces, tried[0], tried[1]]);
      expect(expected).toBeCloseTo(tried[2], 8);
    }
    expect(found.some((s) => s.could > 0 && s.could < s.lacking)).toBe(true);
  });
  test('the pieces of a layer belong together, what is recorded at the tree stands alone; most expected first', () => {
    for (const { definition, pieces } of found) {
      const from = pieces.map((p) => pieceOf(p)?.from ?? '');
      if (definition === '') expect(pieces).toHaveLength(1);
      else expect(new Set(from.map((f) => (f === '' ? '' : definitionOf(f))))).toEqual(new Set([definition]));
    }
    const all = found.flatMap((s) => s.pieces);
    expect(new Set(all).size).toBe(all.length);
    const expected = found.map((s) => s.expected);
    expect(expected).toEqual(expected.toSorted((a, b) => b - a));
  });
});

test('a tree that lacks nothing, and one that is settled, ask for nothing', () => {
  const all = judge(drawEvidence(rng(3), N, 1), table, undecided(N));
  expect(whatWouldSettle(all, table, [0, 1, 2])).toEqual([]);
  const decided = new Uint8Array(N).fill(1);
  const none = judge(drawEvidence(rng(3), N, 0), table, { decided, decidedBy: Array.from(decided, String) });
  expect(whatWouldSettle(none, table, [0, 1, 2])).toEqual([]);
});

test('of more than 200 trees that have a source, 200 are drawn on a fixed seed: near the share among all, the same each time', () => {
  // One piece is known of most trees: 3 of 4 answers settle the rest, which know the other theme only.
  const n = 4000;
  const weights: OriginWeights = {
    version: '',
    note: '',
    prior: 1,
    pieces: [
      { piece: 'notes', note: '', classes: { 'words of planting': 0.1, 'words of wild growth': 10 } },
      { piece: 'range', note: '', steps: [{ below: 0.25, ratio: 1 }, { ratio: 5 }] },
    ],
  };
  const random = rng(12);
  const values: EvidenceValues[] = [
    {
      piece: 'range',
      words: null,
      value: Float64Array.from({ length: n }, (_, row) => (row < 10 ? NaN : random())),
    },
    {
      piece: 'regeneration',
      words: ['seen', 'none seen'],
      value: new Float64Array(n),
    },
  ];
  const columns = judge(values, weights, undecided(n));
  const rows = Array.from({ length: 10 }, (_, row) => row);
  const [first] = whatWouldSettle(columns, weights, rows);
  expect([first.definition, first.lacking, first.could]).toEqual(['native-range', 10, 10]);
  expect(Math.abs(first.expected / 10 - 0.75)).toBeLessThan(0.1);
  expect(whatWouldSettle(columns, weights, rows)).toEqual([first]);
});
