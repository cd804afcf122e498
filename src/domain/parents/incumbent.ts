/** Good sets fast, to start the exact search from: greedy, then swaps with small random kicks. Deterministic for a seed. */
import { drawInteger, rng } from '../base/rng.ts';
import type { ConflictGraph } from './conflicts.ts';

/** Takes vertices in the order given wherever they fit, up to `most`. */
export function greedy({ n, start, list }: ConflictGraph, order: ArrayLike<number>, most: number): number[] {
  const blocked = new Uint8Array(n);
  const set: number[] = [];
  for (let i = 0; i < order.length && set.length < most; i++) {
    const v = order[i];
    if (blocked[v]) continue;
    set.push(v);
    for (let e = start[v]; e < start[v + 1]; e++) blocked[list[e]] = 1;
  }
  return set;
}

/**
 * The heaviest set of k that was met, or the largest (then heaviest) below k where k was not reached.
 * @param weight heaviest vertex first. @param k most members; Infinity for as many as can be.
 */
export function incumbent(
  graph: ConflictGraph,
  weight: Float64Array,
  k: number,
  kicks: number,
  seed: number,
): number[] {
  const { n, start, list } = graph;
  const byWeight = Array.from({ length: n }, (_, v) => v);
  const degree = (v: number): number => start[v + 1] - start[v];
  const bySpace = [...byWeight].sort((a, b) => degree(a) - degree(b) || a - b);
  const totalOf = (set: readonly number[]): number => set.reduce((sum, v) => sum + weight[v], 0);
  const better = (a: readonly number[], b: readonly number[]): boolean =>
    a.length > b.length || (a.length === b.length && totalOf(a) > totalOf(b) + 1e-12);
  let best = greedy(graph, byWeight, k);
  const roomy = greedy(graph, bySpace, k);
  if (better(roomy, best)) best = roomy;

  const random = rng(seed);
  let current = best;
  const member = new Uint8Array(n);
  const hits = new Int32Array(n);
  for (let kick = 0; kick < kicks && n > 0; kick++) {
    member.fill(0);
    hits.fill(0);
    let set = [...current];
    const add = (v: number): void => {
      member[v] = 1;
      set.push(v);
      for (let e = start[v]; e < start[v + 1]; e++) hits[list[e]]++;
    };
    const remove = (v: number): void => {
      member[v] = 0;
      set = set.filter((u) => u !== v);
      for (let e = start[v]; e < start[v + 1]; e++) hits[list[e]]--;
    };
    const given = set;
    set = [];
    for (const v of given) add(v);
    const forced = drawInteger(random, n);
    if (member[forced]) continue;
    for (let e = start[forced]; e < start[forced + 1]; e++) if (member[list[e]]) remove(list[e]);
    add(forced);
    for (let v = 0; v < n && set.length < k; v++) if (!member[v] && hits[v] === 0) add(v);
    // Swap one for one where it gains, until nothing does.
    for (let changed = true; changed;) {
      changed = false;
      for (let v = 0; v < n; v++) {
        if (member[v] || hits[v] > 1) continue;
        let out = -1;
        if (hits[v] === 1) {
          for (let e = start[v]; e < start[v + 1]; e++) if (member[list[e]]) out = list[e];
        } else if (set.length >= k) out = set.reduce((least, u) => (weight[u] < weight[least] ? u : least));
        if (out >= 0 && weight[v] <= weight[out] + 1e-12) continue;
        if (out >= 0) remove(out);
        add(v);
        changed = true;
      }
    }
    while (set.length > k) remove(set.reduce((least, u) => (weight[u] < weight[least] ? u : least)));
    if (!better(current, set)) current = set;
    if (better(set, best)) best = set;
  }
  return best;
}
