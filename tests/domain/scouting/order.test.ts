import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { minimumArborescence } from '../../../src/domain/scouting/arborescence.ts';
import { order } from '../../../src/domain/scouting/order.ts';
import type { OrderProblem } from '../../../src/domain/scouting/types.ts';

function* permutations(items: number[]): Generator<number[]> {
  if (items.length <= 1) yield items;
  else
    for (const [i, x] of items.entries())
      for (const rest of permutations([...items.slice(0, i), ...items.slice(i + 1)])) yield [x, ...rest];
}

function costOf({ cost, n, closed }: OrderProblem, rows: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i + 1 < rows.length; i++) sum += cost[rows[i] * n + rows[i + 1]];
  return closed && n > 1 ? sum + cost[rows[rows.length - 1] * n + rows[0]] : sum;
}

/** All orders that keep the fixed ends, by brute force. */
function exhaustive(problem: OrderProblem): number {
  let best = Infinity;
  for (const rows of permutations(Array.from({ length: problem.n }, (_, i) => i))) {
    if (problem.start !== null && rows[0] !== problem.start) continue;
    if (problem.end !== null && rows[rows.length - 1] !== problem.end) continue;
    best = Math.min(best, costOf(problem, rows));
  }
  return best;
}

const randomProblem = fc
  .record({
    n: fc.integer({ min: 2, max: 7 }),
    seed: fc.integer({ min: 1, max: 1e9 }),
    symmetric: fc.boolean(),
    whole: fc.boolean(),
    shape: fc.integer({ min: 0, max: 4 }),
  })
  .map(({ n, seed, symmetric, whole, shape }): OrderProblem => {
    const random = rng(seed);
    const cost = Float64Array.from({ length: n * n }, () =>
      whole ? Math.floor(random() * 10) : random() * 100,
    );
    for (let i = 0; i < n; i++) cost[i * n + i] = 0;
    if (symmetric) for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) cost[i * n + j] = cost[j * n + i];
    const start = shape === 1 || shape === 3 || shape === 0 ? Math.floor(random() * n) : null;
    let end: number | null = shape === 2 || shape === 3 ? Math.floor(random() * n) : null;
    if (end !== null && end === start) end = (end + 1) % n;
    return { cost, n, start, end, closed: shape === 0 };
  });

describe('the order of stops', () => {
  it('equals exhaustive search on 300 random small cases, open and closed, ends fixed and free, asymmetric too', () => {
    fc.assert(
      fc.property(randomProblem, (problem) => {
        const found = order(problem);
        const best = exhaustive(problem);
        expect([...found.order].sort((a, b) => a - b)).toEqual(
          Array.from({ length: problem.n }, (_, i) => i),
        );
        if (problem.start !== null && !problem.closed) expect(found.order[0]).toBe(problem.start);
        if (problem.end !== null) expect(found.order[problem.n - 1]).toBe(problem.end);
        expect(found.total).toBeCloseTo(best, 9);
        expect(found.total).toBeCloseTo(costOf(problem, found.order), 9);
        expect(found.bound).toBeCloseTo(best, 9);
      }),
      { numRuns: 300, seed: 20261125 },
    );
  });

  it('begins a closed tour at the start that is asked for', () => {
    const cost = Float64Array.from([0, 1, 9, 9, 0, 1, 1, 9, 0]);
    expect(order({ cost, n: 3, start: 2, end: null, closed: true }).order).toEqual([2, 0, 1]);
  });

  it('proves random asymmetric tables of 16 stops, and never exceeds what local search alone finds', () => {
    for (const seed of [1, 2, 3]) {
      const n = 16;
      const random = rng(seed);
      const cost = Float64Array.from({ length: n * n }, () => 1 + Math.floor(random() * 1000));
      const found = order({ cost, n, start: 0, end: null, closed: true });
      expect(found.bound, `seed ${seed}`).toBe(found.total);
    }
  });

  it('gives a bound that is never above the total on larger tables', () => {
    for (const [seed, n, closed] of [
      [7, 30, true],
      [8, 40, false],
    ] as const) {
      const random = rng(seed);
      const xy = Array.from({ length: n }, () => [random() * 1000, random() * 1000]);
      const cost = Float64Array.from({ length: n * n }, (_, k) =>
        Math.hypot(xy[Math.floor(k / n)][0] - xy[k % n][0], xy[Math.floor(k / n)][1] - xy[k % n][1]),
      );
      const found = order({ cost, n, start: 0, end: null, closed });
      expect(found.bound).toBeLessThanOrEqual(found.total);
      expect(found.bound, `seed ${seed}`).toBeGreaterThan(0.97 * found.total);
    }
  });

  it('refuses tables that are not square or have costs below zero', () => {
    expect(() => order({ cost: new Float64Array(5), n: 2, start: null, end: null, closed: true })).toThrow(
      /2 x 2/,
    );
    expect(() =>
      order({ cost: Float64Array.of(0, -1, 1, 0), n: 2, start: null, end: null, closed: true }),
    ).toThrow(/zero or more/);
  });
});

describe('the minimum arborescence', () => {
  it('equals the best of all parent tables on random small cases', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const n = 5;
      const random = rng(seed);
      const cost = Float64Array.from({ length: n * n }, () => Math.floor(random() * 20));
      const weight = (parent: ArrayLike<number>): number => {
        let sum = 0;
        for (let v = 1; v < n; v++) sum += cost[parent[v] * n + v];
        return sum;
      };
      let best = Infinity;
      for (let code = 0; code < n ** (n - 1); code++) {
        const parent = [-1];
        for (let v = 1, c = code; v < n; v++, c = Math.floor(c / n)) parent.push(c % n);
        const reaches = (v: number): boolean => {
          for (let step = 0; step <= n; step++) {
            if (v === 0) return true;
            v = parent[v];
          }
          return false;
        };
        if ([1, 2, 3, 4].every(reaches)) best = Math.min(best, weight(parent));
      }
      expect(weight(minimumArborescence(cost, n, 0)), `seed ${seed}`).toBe(best);
    }
  });
});
