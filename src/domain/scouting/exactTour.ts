/**
 * Exact closed tour by the dynamic programme over subsets (Held & Karp 1962): best cost of a way from stop 0 through a set
 * of stops to a last one. States that cannot lead below the best tour known are dropped, by what the prices of the lower
 * bound say must still be paid; what is left fits in memory to 22 stops.
 */
import type { ClosedProblem } from './closedProblem.ts';
import type { Bound } from './lowerBound.ts';

/** States held in one layer before the search gives up (about 300 MB). */
const MOST_STATES = 3_000_000;

export interface ExactTour {
  /** A tour cheaper than `upper`; null where none was found. */
  readonly tour: number[] | null;
  /** False where memory ran out: then nothing is said about the best tour. */
  readonly proven: boolean;
}

export function exactTour({ cost, n }: ClosedProblem, upper: number, bound: Bound): ExactTour {
  const m = n - 1;
  const rest = restBound(cost, n, bound);
  const limit = upper - 1e-9 * Math.max(1, Math.abs(upper));
  // Layer by layer; a state is mask * m + last over the stops 1 .. m, kept with its cost and the state it came from.
  let layer = new Map<number, number>();
  const from = new Map<number, number>();
  for (let j = 0; j < m; j++) layer.set((1 << j) * m + j, cost[j + 1]);
  for (let size = 1; size < m; size++) {
    const next = new Map<number, number>();
    for (const [state, spent] of layer) {
      const last = state % m;
      const mask = (state - last) / m;
      for (let j = 0; j < m; j++) {
        if ((mask >> j) & 1) continue;
        const grown = mask | (1 << j);
        const total = spent + cost[(last + 1) * n + j + 1];
        const key = grown * m + j;
        const held = next.get(key);
        if (held !== undefined && held <= total) continue;
        if (total + rest(grown, j) >= limit) continue;
        next.set(key, total);
        from.set(key, state);
      }
      if (next.size > MOST_STATES) return { tour: null, proven: false };
    }
    layer = next;
  }
  let best = limit;
  let end = -1;
  for (const [state, spent] of layer) {
    const total = spent + cost[((state % m) + 1) * n];
    if (total < best) {
      best = total;
      end = state;
    }
  }
  if (end < 0) return { tour: null, proven: true };
  const tour: number[] = [];
  for (let state: number | undefined = end; state !== undefined; state = from.get(state))
    tour.push((state % m) + 1);
  return { tour: [0, ...tour.reverse()], proven: true };
}

interface MaskBound {
  /** Spanning tree of the open stops under reduced costs. */
  readonly tree: number;
  /** Cheapest reduced arc from an open stop back to stop 0. */
  readonly home: number;
  /** Cheapest reduced arc into each open stop from another open one. */
  readonly into: Float64Array;
  /** Prices of entering the open stops and stop 0, and of leaving the open stops. */
  readonly prices: number;
  readonly open: readonly number[];
}

/**
 * What a way must still cost from `last` through all stops outside the mask and back to stop 0: the larger of two bounds.
 * As a tree: one arc from the last stop, a spanning tree of the open stops, one arc home. As entries: every open stop and
 * stop 0 is entered once. Both under reduced costs, from which the prices are taken back off.
 */
function restBound(cost: Float64Array, n: number, bound: Bound): (mask: number, last: number) => number {
  const m = n - 1;
  const reduced = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) reduced[i * n + j] = cost[i * n + j] + bound.out[i] + bound.in[j];
  const known = new Map<number, MaskBound>();
  const measure = (mask: number): MaskBound => {
    const open: number[] = [];
    let prices = bound.in[0];
    let home = Infinity;
    for (let j = 0; j < m; j++) {
      if ((mask >> j) & 1) continue;
      const v = j + 1;
      open.push(v);
      prices += bound.in[v] + bound.out[v];
      home = Math.min(home, reduced[v * n]);
    }
    const into = Float64Array.from(open, (v) => {
      let least = Infinity;
      for (const u of open) if (u !== v) least = Math.min(least, reduced[u * n + v]);
      return least;
    });
    return { tree: spanningTree(reduced, n, open), home, into, prices, open };
  };
  return (mask, last) => {
    const l = last + 1;
    let b = known.get(mask);
    if (!b) {
      b = measure(mask);
      known.set(mask, b);
    }
    const { open, into } = b;
    if (open.length === 0) return cost[l * n];
    let join = Infinity;
    let entries = b.home;
    for (let k = 0; k < open.length; k++) {
      const arc = reduced[l * n + open[k]];
      if (arc < join) join = arc;
      entries += Math.min(into[k], arc);
    }
    return Math.max(join + b.tree + b.home, entries) - b.prices - bound.out[l];
  };
}

/** Prim over the cheaper direction of each pair: a path through all of `nodes` is a spanning tree of them. */
function spanningTree(reduced: Float64Array, n: number, nodes: readonly number[]): number {
  const k = nodes.length;
  const key = new Float64Array(k).fill(Infinity);
  const done = new Uint8Array(k);
  key[0] = 0;
  let sum = 0;
  for (let round = 0; round < k; round++) {
    let u = -1;
    for (let v = 0; v < k; v++) if (!done[v] && (u < 0 || key[v] < key[u])) u = v;
    done[u] = 1;
    sum += key[u];
    for (let v = 0; v < k; v++) {
      if (done[v]) continue;
      const c = Math.min(reduced[nodes[u] * n + nodes[v]], reduced[nodes[v] * n + nodes[u]]);
      if (c < key[v]) key[v] = c;
    }
  }
  return k === 0 ? 0 : sum;
}
