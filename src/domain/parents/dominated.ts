import type { ConflictGraph } from './conflicts.ts';

/**
 * Vertices that need not be looked at: u is dominated by a neighbour v that is at least as heavy and conflicts with nothing
 * that u does not conflict with. Wherever u is a member, v can stand in its place, so some best set of any number has no
 * dominated vertex. Taken one at a time, so that two that dominate each other do not both go (the earlier vertex stays:
 * vertices come heaviest first, equal ones by id).
 * @returns vertices that are left, rising.
 */
export function undominated({ n, start, list }: ConflictGraph, weight: Float64Array): number[] {
  const gone = new Uint8Array(n);
  const mark = new Int32Array(n).fill(-1);
  const queue = Array.from({ length: n }, (_, v) => v);
  const queued = new Uint8Array(n).fill(1);
  for (let head = 0; head < queue.length; head++) {
    const u = queue[head];
    queued[u] = 0;
    if (gone[u]) continue;
    mark[u] = u;
    for (let e = start[u]; e < start[u + 1]; e++) mark[list[e]] = u;
    for (let e = start[u]; e < start[u + 1] && !gone[u]; e++) {
      const v = list[e];
      if (gone[v] || weight[v] < weight[u] || (weight[v] === weight[u] && v > u)) continue;
      if (inside(v, u)) gone[u] = 1;
    }
    if (!gone[u]) continue;
    // Whoever conflicts with u has one conflict fewer and may now dominate: its neighbours are looked at again.
    for (let e = start[u]; e < start[u + 1]; e++) {
      const v = list[e];
      if (gone[v]) continue;
      for (let f = start[v]; f < start[v + 1]; f++) {
        const w = list[f];
        if (gone[w] || queued[w]) continue;
        queued[w] = 1;
        queue.push(w);
      }
    }
  }
  return Array.from({ length: n }, (_, v) => v).filter((v) => !gone[v]);

  /** Every conflict of v that is left is u itself or one of u's (marked). */
  function inside(v: number, u: number): boolean {
    for (let e = start[v]; e < start[v + 1]; e++) if (!gone[list[e]] && mark[list[e]] !== u) return false;
    return true;
  }
}
