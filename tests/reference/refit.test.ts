/**
 * The re-fit of evidence weights against R: penalised logistic regression by optim (BFGS) and by glmnet, on published data
 * (MASS birthwt, R's infert) and on invented trees. Made by tests/fixtures/origin/refit.R, which names the sources.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { leaveOneOut, ridgeLogistic, type RidgeLogistic } from '../../src/domain/base/ridgeLogistic.ts';
import type { OriginWeights } from '../../src/domain/plan/schema.ts';
import { judge } from '../../src/domain/vetting/origin/judge.ts';
import { refit } from '../../src/domain/vetting/origin/refit.ts';
import type { OriginColumns, Refit } from '../../src/domain/vetting/origin/types.ts';

interface Case {
  lambda: number;
  x: number[][];
  y: number[];
  coefficients: number[];
  unseen: number[];
  withoutConstant: number[];
}
interface Trees {
  pieces: string[];
  below: Array<Array<number | null> | null>;
  ratios: number[][];
  prior: number;
  values: Array<Array<number | null>>;
  natural: number[];
  change: number[];
  after: number[][];
  priorAfter: number;
  unseen: number[];
  brierBefore: number;
  brierAfter: number;
  barsBefore: Array<[number, number]>;
  barsAfter: Array<[number, number]>;
}
const fromR = JSON.parse(readFileSync(new URL('../fixtures/origin/refit.json', import.meta.url), 'utf8')) as {
  birthwt: Case;
  infert: Case;
  trees: Trees;
};

const far = (a: ArrayLike<number>, b: ArrayLike<number>): number =>
  Math.max(...Array.from(a, (x, i) => Math.abs(x - b[i])), Math.abs(a.length - b.length));

describe.each(['birthwt', 'infert'] as const)('ridge logistic regression on %s', (name) => {
  const { lambda, x, y, coefficients, unseen, withoutConstant } = fromR[name];
  const problem = (rows: number[][]): RidgeLogistic => ({
    rows: rows.map((row) => ({ at: row.map((_, j) => j), x: row })),
    offset: new Float64Array(rows.length),
    success: y.map((s) => s === 1),
    coefficients: rows[0].length,
    lambda,
  });
  const withConstant = x.map((row) => [1, ...row]);
  test('coefficients are those of optim', () => {
    expect(far(ridgeLogistic(problem(withConstant)), coefficients)).toBeLessThan(1e-9);
  });
  test('without a constant they are those of glmnet (alpha 0, lambda / n, not standardised)', () => {
    expect(far(ridgeLogistic(problem(x)), withoutConstant)).toBeLessThan(1e-6);
  });
  test('each row predicted by a fit that has not seen it', () => {
    const p = problem(withConstant);
    const each = leaveOneOut(p, ridgeLogistic(p)).map(
      (b, i) => 1 / (1 + Math.exp(-withConstant[i].reduce((sum, v, j) => sum + v * b[j], 0))),
    );
    expect(far(each, unseen)).toBeLessThan(1e-9);
  });
});

describe('invented trees', () => {
  const { trees } = fromR;
  const words = (p: number): string[] | null =>
    trees.below[p] ? null : trees.ratios[p].map((_, a) => `answer ${a}`);
  const tableOf = (prior: number, ratios: number[][]): OriginWeights => ({
    version: 'reference',
    note: '',
    prior,
    pieces: trees.pieces.map((piece, p) => {
      const below = trees.below[p];
      return below
        ? {
            piece,
            note: '',
            steps: ratios[p].map((ratio, a) => ({
              ...(below[a] === null ? {} : { below: below[a] }),
              ratio,
            })),
          }
        : {
            piece,
            note: '',
            classes: Object.fromEntries(ratios[p].map((r, a) => [`answer ${a}`, r])),
          };
    }),
  });
  const table = tableOf(trees.prior, trees.ratios);
  const n = trees.natural.length;
  const columns: OriginColumns = judge(
    trees.pieces.map((piece, p) => ({
      piece,
      value: Float64Array.from(trees.values, (row) => row[p] ?? NaN),
      words: words(p),
    })),
    table,
    { decided: new Uint8Array(n), decidedBy: new Array<string>(n).fill('') },
  );
  const found = refit(
    columns,
    table,
    trees.natural.map((x, row) => ({ row, natural: x === 1 })),
    'new',
  ) as Refit;

  test('the new table has R’s ratios to 4 digits; the tree of which nothing is known is left out', () => {
    expect(found.kind).toBe('fitted');
    expect([found.natural + found.planted, found.leftOut]).toEqual([n - 1, 1]);
    expect({ ...found.table, note: '', version: 'reference' }).toEqual(
      tableOf(trees.priorAfter, trees.after),
    );
    expect(found.prior).toEqual({ before: trees.prior, after: trees.priorAfter });
  });
  test('Brier score of the present table, and of the fit by leave-one-out', () => {
    expect(Math.abs(found.brier.before - trees.brierBefore)).toBeLessThan(1e-12);
    expect(Math.abs(found.brier.after - trees.brierAfter)).toBeLessThan(1e-12);
  });
  test('outcomes and natural ones in each of five bars', () => {
    const bars = (bins: Refit['reliability']['after']): number[][] =>
      bins.map((b) => [b.n, Math.round(b.observed * b.n)]);
    expect(bars(found.reliability.before)).toEqual(trees.barsBefore);
    expect(bars(found.reliability.after)).toEqual(trees.barsAfter);
  });
});
