import { describe, expect, it } from 'vitest';
import { rng, shuffle } from '../../../src/domain/base/rng.ts';
import { cliqueCover } from '../../../src/domain/parents/cliques.ts';
import { prices } from '../../../src/domain/parents/prices.ts';
import { search } from '../../../src/domain/parents/search.ts';
import { reach, sweep, type SweepProblem } from '../../../src/domain/parents/sweep.ts';
import { bestByNumber, conflicts, randomGraph } from './graphs.ts';

const never = (): boolean => false;

/** A sweep over a random graph in random order, for sets of at least `least`. */
function setUp(n: number, share: number, seed: number, k: number | null, width: number, least = 0) {
  const graph = randomGraph(n, share, seed);
  const random = rng(seed);
  const weight = Float64Array.from({ length: n }, () => 0.1 + random());
  const cliques = cliqueCover(graph);
  const order = shuffle(
    Int32Array.from({ length: n }, (_, v) => v),
    random,
  );
  const demand = { weight, prices: prices(weight, cliques, k, 0, 50, never), k: k ?? 0, least };
  const problem: SweepProblem = { graph, cliques, weight, order, k, most: false, demands: [demand], width };
  return { problem, best: bestByNumber(graph, weight), total: totalOf(weight) };
}

const totalOf =
  (weight: Float64Array) =>
  (set: readonly number[]): number =>
    set.reduce((sum, v) => sum + weight[v], 0);

describe('a sweep', () => {
  it('finds the best set, of any number and of each, in any order (60 random graphs)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      // 40 vertices ahead need more than one word of bits; of so crowded ones few fit together.
      const [n, share] = seed % 10 === 0 ? [40, 0.75] : [13, 0.05 + 0.012 * seed];
      const any = setUp(n, share, seed, null, 1e6);
      const found = sweep(any.problem, never);
      expect(found.open).toBe(-Infinity);
      expect(any.total(found.set ?? []), `seed ${seed}`).toBeCloseTo(Math.max(...any.best), 9);
      for (let k = 1; k <= 13; k++) {
        const { problem, best, total } = setUp(n, share, seed, k, 1e6);
        const { set } = sweep(problem, never);
        if (best[k] === -Infinity) expect(set, `seed ${seed}, ${k}`).toBeNull();
        else {
          expect(set?.length).toBe(k);
          expect(total(set ?? []), `seed ${seed}, ${k}`).toBeCloseTo(best[k], 9);
        }
      }
    }
  });

  it('keeps the state with more members where the number is the largest there is (60 random graphs)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const { best } = setUp(14, 0.25, seed, null, 1);
      const k = best.findLastIndex((b) => b > -Infinity);
      const { problem, total } = setUp(14, 0.25, seed, k, 1e6);
      const { set } = sweep({ ...problem, most: true }, never);
      expect(set?.length).toBe(k);
      expect(total(set ?? []), `seed ${seed}`).toBeCloseTo(best[k], 9);
    }
  });

  it('gives a lawful set and a bound that holds however narrow it is (100 random graphs)', () => {
    let missed = 0;
    for (let seed = 1; seed <= 100; seed++) {
      const { problem, best, total } = setUp(16, 0.25, seed, seed % 2 ? null : 3, 1 + (seed % 4));
      const { set, open } = sweep(problem, never);
      for (const a of set ?? [])
        for (const b of set ?? []) expect(conflicts(problem.graph, a, b)).toBe(false);
      const truth = problem.k === null ? Math.max(...best) : best[problem.k];
      const found = set ? total(set) : -Infinity;
      expect(Math.max(found, open), `seed ${seed}`).toBeGreaterThan(truth - 1e-9);
      if (found < truth - 1e-9) missed++;
    }
    expect(missed).toBeGreaterThan(5);
  });

  it('finds nothing where more is wanted than there is, and what is just enough', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const top = Math.max(...setUp(14, 0.3, seed, null, 1).best);
      expect(sweep(setUp(14, 0.3, seed, null, 1e6, top + 1e-9).problem, never)).toMatchObject({
        set: null,
        open: -Infinity,
      });
      expect(sweep(setUp(14, 0.3, seed, null, 1e6, top - 1e-9).problem, never).set).not.toBeNull();
    }
  });

  it('says when it was stopped what it might have missed', () => {
    for (const after of [0, 1, 5, 12]) {
      const { problem, best } = setUp(16, 0.3, 4, null, 1e6);
      let asked = 0;
      const { set, open } = sweep(problem, () => asked++ >= after);
      expect(set).toBeNull();
      expect(open).toBeGreaterThan(Math.max(...best) - 1e-9);
    }
  });

  it('knows how far conflicts reach ahead', () => {
    // A path 0 - 1 - 2 - 3 in the order 0, 2, 1, 3: 0 reaches 1 (place 2), 2 reaches 3 (place 3).
    const graph = { n: 4, start: Int32Array.of(0, 1, 3, 5, 6), list: Int32Array.of(1, 0, 2, 1, 3, 2) };
    expect([...reach(graph, Int32Array.of(0, 2, 1, 3))]).toEqual([2, 3, 3, 3]);
  });
});

describe('the search', () => {
  const at = (n: number) => ({ x: Float64Array.from({ length: n }, (_, v) => v), y: new Float64Array(n) });

  it('proves the best set of each number, known or not, near the largest or not (60 random graphs)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const n = 15;
      const graph = randomGraph(n, 0.1 + 0.01 * seed, seed);
      const random = rng(seed);
      const weight = Float64Array.from({ length: n }, () =>
        seed % 3 ? random() : 1 + Math.floor(3 * random()),
      );
      const best = bestByNumber(graph, weight);
      const largest = best.findLastIndex((b) => b > -Infinity);
      for (let k = 1; k <= largest + 1; k++) {
        const near = k === largest ? 'largest' : k % 2 ? 'near' : undefined;
        const problem = { graph, weight, ...at(n), k, near, grain: seed % 3 ? 0 : 1 } as const;
        const found = search({ ...problem, known: -Infinity }, { stop: never });
        expect(found.total, `seed ${seed}, ${k}`).toBeCloseTo(best[k], 9);
        expect(found.bound).toBeCloseTo(best[k], 9);
        expect(found.set === null).toBe(best[k] === -Infinity);
        if (best[k] === -Infinity) continue;
        // What is known already is not found again.
        const again = search({ ...problem, known: best[k] }, { stop: never });
        expect(again).toMatchObject({ set: null, total: best[k], bound: best[k] });
      }
    }
  });

  it('counts the largest number (60 random graphs)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const graph = randomGraph(15, 0.1 + 0.01 * seed, seed);
      const weight = new Float64Array(15).fill(1);
      const largest = bestByNumber(graph, weight).findLastIndex((b) => b > -Infinity);
      const found = search({ graph, weight, ...at(15), k: null, known: 0, grain: 1 }, { stop: never });
      expect(found, `seed ${seed}`).toMatchObject({ total: largest, bound: largest });
      expect(found.set?.length).toBe(largest);
    }
  });
});
