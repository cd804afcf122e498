/** Cholesky, and ridge logistic regression on cases that can be seen through. Numbers against R: tests/reference/refit.test.ts. */
import { describe, expect, test } from 'vitest';
import { cholesky, choleskySolve } from '../../../src/domain/base/linalg.ts';
import { leaveOneOut, ridgeLogistic, type RidgeLogistic } from '../../../src/domain/base/ridgeLogistic.ts';
import { rng } from '../../../src/domain/base/rng.ts';

describe('Cholesky', () => {
  test('of [4 12 -16; 12 37 -43; -16 -43 98], multiplied out by hand: rows 2; 6 1; -8 5 3', () => {
    const l = cholesky(Float64Array.of(4, 12, -16, 12, 37, -43, -16, -43, 98), 3);
    expect([...l]).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3]);
    const x = choleskySolve(l, 3, [4 - 16 * 3, 12 - 43 * 3, -16 + 98 * 3]);
    [1, 0, 3].forEach((value, i) => expect(x[i]).toBeCloseTo(value, 10));
  });
  test('one that is not positive definite is a bug', () => {
    expect(() => cholesky(Float64Array.of(1, 2, 2, 1), 2)).toThrow(/positive definite/);
  });
});

function drawn(seed: number, n: number, m: number, size: number): RidgeLogistic {
  const random = rng(seed);
  return {
    rows: Array.from({ length: n }, () => {
      const at = Array.from({ length: m }, (_, j) => j).filter(() => random() < 0.5);
      return { at, x: at.map(() => (random() - 0.4) * size) };
    }),
    offset: Float64Array.from({ length: n }, () => random() - 0.5),
    success: Array.from({ length: n }, () => random() < 0.6),
    coefficients: m,
    lambda: 0.7,
  };
}
/** The slope of the penalised likelihood, from its definition. */
function steepest({ rows, offset, success, lambda }: RidgeLogistic, b: Float64Array, without = -1): number {
  const g = Float64Array.from(b, (x) => lambda * x);
  rows.forEach(({ at, x }, i) => {
    if (i === without) return;
    let z = offset[i];
    for (let k = 0; k < at.length; k++) z += x[k] * b[at[k]];
    for (let k = 0; k < at.length; k++) g[at[k]] += (1 / (1 + Math.exp(-z)) - (success[i] ? 1 : 0)) * x[k];
  });
  return Math.max(...g.map(Math.abs));
}

describe('ridge logistic regression', () => {
  test.each([
    [1, 40, 5, 1],
    [2, 5, 30, 1],
    // Factors so large that full steps overshoot.
    [3, 30, 4, 400],
  ])(
    'seed %d: %d rows, %d coefficients, factors of %d: the slope is 0, with each row left out too',
    (seed, n, m, size) => {
      const problem = drawn(seed, n, m, size);
      const b = ridgeLogistic(problem);
      expect(steepest(problem, b)).toBeLessThan(1e-8);
      leaveOneOut(problem, b).forEach((left, i) => expect(steepest(problem, left, i)).toBeLessThan(1e-8));
    },
  );
  test('one coefficient, all successes: b = (1 - p) n / lambda', () => {
    const n = 8;
    const rows = Array.from({ length: n }, () => ({ at: [0], x: [1] }));
    const [b] = ridgeLogistic({
      rows,
      offset: new Float64Array(n),
      success: rows.map(() => true),
      coefficients: 1,
      lambda: 2,
    });
    expect(b).toBeCloseTo((n / 2) * (1 - 1 / (1 + Math.exp(-b))), 10);
  });
  test('no rows: nothing moves', () => {
    expect([...ridgeLogistic({ rows: [], offset: [], success: [], coefficients: 3, lambda: 1 })]).toEqual([
      0, 0, 0,
    ]);
  });
});
