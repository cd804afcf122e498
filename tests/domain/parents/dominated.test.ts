import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawInteger, rng } from '../../../src/domain/base/rng.ts';
import type { ConflictGraph } from '../../../src/domain/parents/conflicts.ts';
import { undominated } from '../../../src/domain/parents/dominated.ts';

function graphOf(n: number, pairs: ReadonlyArray<readonly [number, number]>): ConflictGraph {
  const lists = Array.from({ length: n }, (_, v) =>
    pairs.flatMap(([a, b]) => (a === v ? [b] : b === v ? [a] : [])).sort((a, b) => a - b),
  );
  const start = new Int32Array(n + 1);
  lists.forEach((l, v) => (start[v + 1] = start[v] + l.length));
  return { n, start, list: Int32Array.from(lists.flat()) };
}

/** Greatest total by number of members among the vertices named. */
function bestByNumber(
  pairs: ReadonlyArray<readonly [number, number]>,
  weight: Float64Array,
  vertices: number[],
): number[] {
  const best: number[] = [];
  for (let bits = 0; bits < 1 << vertices.length; bits++) {
    const set = new Set(vertices.filter((_, i) => bits & (1 << i)));
    if (pairs.some(([a, b]) => set.has(a) && set.has(b))) continue;
    const total = [...set].reduce((sum, v) => sum + weight[v], 0);
    best[set.size] = Math.max(best[set.size] ?? -Infinity, total);
  }
  return best;
}

describe('vertices that another can always stand in for', () => {
  it('leave the best total of every number as it was, on 250 random graphs', () => {
    let gone = 0;
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e9 }),
        fc.integer({ min: 1, max: 11 }),
        fc.constantFrom(0.15, 0.4, 0.8),
        fc.boolean(),
        (seed, n, density, whole) => {
          const random = rng(seed);
          const pairs: [number, number][] = [];
          for (let a = 0; a < n; a++)
            for (let b = a + 1; b < n; b++) if (random() < density) pairs.push([a, b]);
          // Heaviest first, as the search has them.
          const weight = Float64Array.from({ length: n }, () =>
            whole ? 1 + drawInteger(random, 2) : random(),
          )
            .sort()
            .reverse();
          const all = Array.from({ length: n }, (_, v) => v);
          const left = undominated(graphOf(n, pairs), weight);
          gone += n - left.length;
          const [before, after] = [bestByNumber(pairs, weight, all), bestByNumber(pairs, weight, left)];
          expect(after.length).toBe(before.length);
          before.forEach((b, k) => expect(after[k]).toBeCloseTo(b, 12));
        },
      ),
      { numRuns: 250, seed: 20261125 },
    );
    expect(gone).toBeGreaterThan(250);
  });

  it('keeps the earlier of two that could stand in for one another', () => {
    expect(undominated(graphOf(2, [[0, 1]]), Float64Array.of(1, 1))).toEqual([0]);
    expect(undominated(graphOf(3, [[0, 1], [0, 2], [1, 2]]), Float64Array.of(1, 1, 1))).toEqual([0]); // prettier-ignore
  });

  it('keeps a heavy vertex between two light ones, and the light ones', () => {
    // A path 1 - 0 - 2: the middle is heavier, the ends can both be members.
    expect(undominated(graphOf(3, [[0, 1], [0, 2]]), Float64Array.of(5, 1, 1))).toEqual([0, 1, 2]); // prettier-ignore
  });
});
