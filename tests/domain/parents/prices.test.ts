import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { cliqueCover } from '../../../src/domain/parents/cliques.ts';
import { affordable, beyondPrices, prices } from '../../../src/domain/parents/prices.ts';
import { bestByNumber, randomGraph } from './graphs.ts';

const never = (): boolean => false;

describe('the bound by prices', () => {
  it('is never below the best set, of any number and of each (60 random graphs)', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const graph = randomGraph(14, 0.1 + 0.01 * seed, seed);
      const random = rng(seed);
      const weight = Float64Array.from({ length: 14 }, () => 0.1 + random());
      const cliques = cliqueCover(graph);
      const best = bestByNumber(graph, weight);
      const top = Math.max(...best);
      expect(prices(weight, cliques, null, top, 400, never).bound, `seed ${seed}`).toBeGreaterThan(
        top - 1e-9,
      );
      for (let k = 1; best[k] > -Infinity; k++) {
        const found = prices(weight, cliques, k, best[k], 400, never);
        expect(found.bound, `seed ${seed}, ${k}`).toBeGreaterThan(best[k] - 1e-9);
        expect(Math.min(...found.group, 0)).toBe(0);
      }
    }
  });

  // Groups of a path are its pairs, and a path has no odd ring: the bound comes down to the best set itself.
  it('comes down to the best set of a path', () => {
    // Weights 3, 4, 5, 4, 3 in a row: best 3 + 5 + 3 = 11.
    const graph = {
      n: 5,
      start: Int32Array.of(0, 1, 3, 5, 7, 8),
      list: Int32Array.of(1, 0, 2, 1, 3, 2, 4, 3),
    };
    const { bound } = prices(Float64Array.of(3, 4, 5, 4, 3), cliqueCover(graph), null, 11, 1000, never);
    expect(bound).toBeGreaterThanOrEqual(11 - 1e-9);
    expect(bound).toBeLessThan(11.02);
  });

  // A ring of five holds two; with half a price on each pair the bound is 5/2, and no prices do better.
  it('stays at two and a half for a ring of five, of which two can be had', () => {
    const graph = {
      n: 5,
      start: Int32Array.of(0, 2, 4, 6, 8, 10),
      list: Int32Array.of(1, 4, 0, 2, 1, 3, 2, 4, 0, 3),
    };
    const { bound } = prices(new Float64Array(5).fill(1), cliqueCover(graph), null, 2, 1000, never);
    expect(bound).toBeGreaterThanOrEqual(2.5 - 1e-9);
    expect(bound).toBeLessThan(2.51);
  });

  it('is what the prices come to, and ends when it is low enough', () => {
    const graph = randomGraph(30, 0.3, 5);
    const weight = Float64Array.from({ length: 30 }, (_, v) => 1 + (v % 7) / 10);
    const cliques = cliqueCover(graph);
    const found = prices(weight, cliques, 6, 8, 200, never);
    const beyond = beyondPrices(weight, cliques, found);
    const sum = [...found.group, ...beyond.filter((b) => b > 0), 6 * found.member].reduce((a, b) => a + b, 0);
    expect(sum).toBeCloseTo(found.bound, 9);
    const early = prices(weight, cliques, 6, 8, 200, (bound) => bound < 1.2 * found.bound);
    expect(early.bound).toBeLessThan(1.2 * found.bound);
    expect(early.bound).toBeGreaterThan(found.bound);
  });

  it('leaves out no vertex that a set of that weight can have, and some that it cannot (60 random graphs)', () => {
    let out = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const graph = randomGraph(13, 0.1 + 0.01 * seed, seed);
      const random = rng(seed);
      const weight = Float64Array.from({ length: 13 }, () => 0.1 + random());
      const cliques = cliqueCover(graph);
      const k = seed % 2 ? null : 2;
      const all = bestByNumber(graph, weight);
      const top = k === null ? Math.max(...all) : all[k];
      for (const least of [top, 0.95 * top, 0.8 * top]) {
        const keep = affordable(weight, cliques, prices(weight, cliques, k, top, 400, never), least - 1e-9);
        for (let v = 0; v < 13; v++) {
          if (!keep[v]) out++;
          // With v in, who conflicts with it is worth nothing any more.
          const near = graph.list.subarray(graph.start[v], graph.start[v + 1]);
          const rest = bestByNumber(
            graph,
            weight.map((w, u) => (u === v || near.includes(u) ? -1e6 : w)),
          );
          const withIt = weight[v] + (k === null ? Math.max(...rest) : rest[k - 1]);
          if (withIt >= least) expect(keep[v], `seed ${seed}, vertex ${v}`).toBe(true);
        }
      }
    }
    expect(out).toBeGreaterThan(100);
  });
});
