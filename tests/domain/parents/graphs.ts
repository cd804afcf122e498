/** Random conflict graphs, and their answers by trying every set. */
import { rng } from '../../../src/domain/base/rng.ts';
import type { ConflictGraph } from '../../../src/domain/parents/conflicts.ts';

/** n vertices, each two in conflict with probability `share`; no geometry. */
export function randomGraph(n: number, share: number, seed: number): ConflictGraph {
  const random = rng(seed);
  const near: number[][] = Array.from({ length: n }, () => []);
  for (let a = 0; a < n; a++)
    for (let b = a + 1; b < n; b++)
      if (random() < share) {
        near[a].push(b);
        near[b].push(a);
      }
  const start = new Int32Array(n + 1);
  near.forEach((own, v) => {
    start[v + 1] = start[v] + own.length;
  });
  return { n, start, list: Int32Array.from(near.flatMap((own) => own.sort((a, b) => a - b))) };
}

export function conflicts({ start, list }: ConflictGraph, a: number, b: number): boolean {
  return list.subarray(start[a], start[a + 1]).includes(b);
}

/** Greatest weight of an unconflicted set of each number of members; -Infinity where there is none. */
export function bestByNumber(graph: ConflictGraph, weight: ArrayLike<number>): number[] {
  const best = new Array<number>(graph.n + 1).fill(-Infinity);
  const extend = (from: number, set: number[], total: number): void => {
    best[set.length] = Math.max(best[set.length], total);
    for (let v = from; v < graph.n; v++)
      if (!set.some((u) => conflicts(graph, u, v))) extend(v + 1, [...set, v], total + weight[v]);
  };
  extend(0, [], 0);
  return best;
}
