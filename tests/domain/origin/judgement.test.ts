/** Judging, comparing tables, and what a verdict hangs on, against the method worked out row by row. */
import { describe, expect, test } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import type { OriginWeights, Statement } from '../../../src/domain/plan/schema.ts';
import { compareTables } from '../../../src/domain/vetting/origin/compareTables.ts';
import { furthest } from '../../../src/domain/vetting/origin/furthest.ts';
import { judge } from '../../../src/domain/vetting/origin/judge.ts';
import { outcomesOf } from '../../../src/domain/vetting/origin/outcomes.ts';
import { sensitivity } from '../../../src/domain/vetting/origin/sensitivity.ts';
import { ORIGIN_VERDICTS, type EvidenceValues } from '../../../src/domain/vetting/origin/types.ts';
import { make } from '../candidates/make.ts';
import { originOf } from '../vetting/make.ts';
import { drawEvidence, drawTable, undecided, weighedByHand } from './make.ts';

const N = 300;
const random = rng(41);
const evidence = [0.1, 0.3, 0.9].map((known) => drawEvidence(random, N / 3, known));
const table = drawTable(random);

/** The evidence on a row with one piece answered otherwise; NaN takes it away. */
const otherwise = (
  of: readonly EvidenceValues[],
  row: number,
  piece: number,
  value: number,
): EvidenceValues[] =>
  of.map((e, p) => ({ ...e, value: Float64Array.of(p === piece ? value : e.value[row]) }));

test('odds, themes and verdict of every row are those of the method', () => {
  for (const values of evidence) {
    const n = values[0].value.length;
    const columns = judge(values, table, undecided(n));
    for (let row = 0; row < n; row++) {
      const byHand = weighedByHand(values, table, row);
      expect(columns.logOdds[row]).toBeCloseTo(byHand.logOdds, 10);
      expect(columns.themes[row]).toBe(byHand.themes);
      expect(ORIGIN_VERDICTS[columns.verdict[row]]).toBe(byHand.verdict);
      const counted = columns.evidence.reduce((sum, e) => sum + e.counted[row], Math.log(table.prior));
      expect(counted).toBeCloseTo(byHand.logOdds, 10);
    }
  }
});

test('odds of 4 are "likely natural" in whatever order they came about', () => {
  const flat = (ratios: Record<string, number>, prior: number): OriginWeights => ({
    version: '',
    note: '',
    prior,
    pieces: Object.entries(ratios).map(([piece, ratio]) => ({ piece, note: '', steps: [{ ratio }] })),
  });
  const values = { developed100: [0], building: [1], range: [0] };
  for (const [a, b, c, prior] of [
    [2, 2, 1, 1],
    [5, 0.2, 4, 1],
    [1.6, 2.5, 1, 1],
    [3, 0.7, 1 / 2.1, 4],
    [10, 0.1, 8, 0.5],
  ]) {
    const o = originOf(make([{}]), values, flat({ developed100: a, building: b, range: c }, prior));
    expect(ORIGIN_VERDICTS[o.verdict[0]]).toBe('likely natural');
    const against = originOf(
      make([{}]),
      values,
      flat({ developed100: 1 / a, building: 1 / b, range: 1 / c }, 1 / prior),
    );
    expect(ORIGIN_VERDICTS[against.verdict[0]]).toBe('likely planted');
  }
});

describe('another table', () => {
  const [, values] = evidence;
  const n = values[0].value.length;
  const other = drawTable(rng(5), 1.2, 'other');
  const decided = new Uint8Array(n);
  decided[3] = 1;
  decided[4] = 2;
  const decisions = { decided, decidedBy: Array.from(decided, String) };
  const columns = judge(values, table, decisions);
  const found = compareTables(columns, other);

  test('gives the verdicts that judging by it gives, and decisions stand', () => {
    const by = judge(values, other, decisions);
    expect(found.verdict).toEqual(by.verdict);
    expect(found.probability).toEqual(by.probability);
    expect([found.from, found.to]).toEqual(['drawn', 'other']);
    expect(found.changed).not.toContain(3);
    expect(found.changed).not.toContain(4);
  });
  test('rows that change are listed, furthest in probability first; moves count every row once', () => {
    const rows = Array.from({ length: n }, (_, row) => row);
    const by = (row: number): number => Math.abs(found.probability[row] - columns.probability[row]);
    const changed = rows.filter((row) => found.verdict[row] !== columns.verdict[row]);
    expect(changed.length).toBeGreaterThan(10);
    expect([...found.changed].toSorted((a, b) => a - b)).toEqual(changed);
    expect([...found.changed].map(by)).toEqual(changed.map(by).toSorted((a, b) => b - a));
    for (let from = 0; from < 4; from++)
      for (let to = 0; to < 4; to++)
        expect(found.moves[4 * from + to]).toBe(
          rows.filter((row) => columns.verdict[row] === from && found.verdict[row] === to).length,
        );
  });
  test('the same table changes nothing', () => {
    expect(compareTables(columns, table).changed).toHaveLength(0);
  });
});

describe('what a verdict hangs on', () => {
  test('each known piece left out: the verdict is that of the evidence without it, ranks and themes counted anew', () => {
    let turned = 0;
    let short = 0;
    for (const values of evidence) {
      const columns = judge(values, table, undecided(N / 3));
      for (let row = 0; row < 30; row++) {
        const now = weighedByHand(values, table, row);
        const { without } = sensitivity(columns, table, row);
        const known = values.filter((e) => !Number.isNaN(e.value[row])).map((e) => e.piece);
        expect(without.map((w) => w.piece).toSorted()).toEqual(known.toSorted());
        for (const w of without) {
          const p = values.findIndex((e) => e.piece === w.piece);
          const left = weighedByHand(otherwise(values, row, p, NaN), table, 0);
          expect(w.logOdds).toBeCloseTo(left.logOdds, 10);
          expect(w.verdict).toBe(left.verdict);
          expect(w.turns).toBe(left.verdict !== now.verdict);
          if (w.turns) turned++;
          if (w.turns && w.verdict === 'not enough evidence') short++;
        }
        const size = without.map((w) => Math.abs(w.logOdds - columns.logOdds[row]));
        expect(size).toEqual(size.toSorted((a, b) => b - a));
      }
    }
    // The draw holds both ways of turning.
    expect(Math.min(turned - short, short)).toBeGreaterThan(5);
  });

  test('the piece to check is the one whose other answers move the odds furthest, known or not', () => {
    const kinds = new Set<boolean>();
    for (const values of evidence) {
      const columns = judge(values, table, undecided(N / 3));
      for (let row = 0; row < 20; row++) {
        const now = weighedByHand(values, table, row).logOdds;
        const moves = values.map(({ words }, p) =>
          Math.max(
            ...(words ? words.map((_, word) => word) : [0.1, 0.5, 0.9]).map((answer) =>
              Math.abs(weighedByHand(otherwise(values, row, p, answer), table, 0).logOdds - now),
            ),
          ),
        );
        furthest(columns, table, row).forEach((move, p) => expect(move).toBeCloseTo(moves[p], 10));
        const { check } = sensitivity(columns, table, row);
        expect(check?.couldMove).toBeCloseTo(Math.max(...moves), 10);
        const p = moves.indexOf(Math.max(...moves));
        expect(check?.piece).toBe(values[p].piece);
        expect(check?.known).toBe(!Number.isNaN(values[p].value[row]));
        kinds.add(check?.known ?? false);
      }
    }
    expect(kinds.size).toBe(2);
  });

  test('a table without weights: nothing to check', () => {
    const empty: OriginWeights = { version: '', note: '', prior: 1, pieces: [] };
    const columns = judge(evidence[1], empty, undecided(N / 3));
    expect(sensitivity(columns, empty, 0).check).toBeNull();
  });

  test('of a decided tree it tells what the evidence alone says', () => {
    const [, values] = evidence;
    const free = judge(values, table, undecided(N / 3));
    for (const by of [1, 2]) {
      const decided = new Uint8Array(N / 3).fill(by);
      const columns = judge(values, table, { decided, decidedBy: Array.from(decided, String) });
      for (let row = 0; row < 20; row++)
        expect(sensitivity(columns, table, row)).toEqual(sensitivity(free, table, row));
    }
  });
});

describe('settled outcomes', () => {
  const says = (candidate: string, origin: 'natural' | 'planted', date: string): Statement => ({
    candidate,
    origin,
    reason: 'told at the gate',
    by: 'A. Owner',
    date,
  });
  test('the latest statement on each candidate, as decisions take it, in the order of the rows', () => {
    const statements = [
      says('b', 'planted', '2025-03-01'),
      says('c', 'natural', ''),
      says('a', 'planted', '2024-01-01'),
      says('b', 'natural', '2024-03-01'),
      says('c', 'planted', ''),
      says('gone', 'natural', '2025-01-01'),
    ];
    expect(outcomesOf(['a', 'b', 'c', 'd'], statements)).toEqual([
      { row: 0, natural: false },
      { row: 1, natural: false },
      { row: 2, natural: false },
    ]);
    const records = ['a', 'b', 'c', 'd'].map((id) => ({ id }));
    const { decided } = originOf(make(records), {}, undefined, statements);
    expect([...decided]).toEqual([2, 2, 2, 0]);
  });
});
