/**
 * Lower bounds on a closed tour by subgradient ascent on node prices (Held & Karp 1970, 1971): for symmetric costs the
 * minimum 1-tree, else the minimum arborescence plus one arc (Edmonds 1967), which gives the same bound for directed tours.
 */
import type { ClosedProblem } from './closedProblem.ts';
import { minimumArborescence } from './arborescence.ts';

export interface Bound {
  readonly value: number;
  /** Price of leaving and of entering each stop at the best bound: cost + out[i] + in[j] are the reduced costs. */
  readonly out: Float64Array;
  readonly in: Float64Array;
}

const ROUNDS = 400;

export function lowerBound(problem: ClosedProblem, upper: number): Bound {
  return problem.symmetric ? treeBound(problem, upper) : arborescenceBound(problem, upper);
}

function treeBound({ cost, n }: ClosedProblem, upper: number): Bound {
  const price = new Float64Array(n);
  const best = new Float64Array(n);
  const degree = new Int32Array(n);
  let value = -Infinity;
  let step = 2;
  let stale = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const tree = oneTree(cost, n, price, degree);
    let sum = 0;
    for (const p of price) sum += p;
    const bound = tree - 2 * sum;
    if (bound > value) {
      value = bound;
      best.set(price);
      stale = 0;
    } else if (++stale > 12) {
      step /= 2;
      stale = 0;
      if (step < 1e-4) break;
    }
    let norm = 0;
    for (const d of degree) norm += (d - 2) * (d - 2);
    if (norm === 0) break;
    const t = (step * Math.max(upper - bound, 1e-12 * Math.abs(upper))) / norm;
    for (let i = 0; i < n; i++) price[i] += t * (degree[i] - 2);
  }
  return { value, out: best, in: best };
}

/** Minimum spanning tree of all stops but 0 (Prim) and the two cheapest edges at stop 0, under cost + price[i] + price[j]. */
function oneTree(cost: Float64Array, n: number, price: Float64Array, degree: Int32Array): number {
  degree.fill(0);
  const key = new Float64Array(n).fill(Infinity);
  const from = new Int32Array(n).fill(-1);
  const done = new Uint8Array(n);
  let sum = 0;
  key[1] = 0;
  for (let k = 1; k < n; k++) {
    let u = -1;
    for (let v = 1; v < n; v++) if (!done[v] && (u < 0 || key[v] < key[u])) u = v;
    done[u] = 1;
    if (from[u] >= 0) {
      sum += key[u];
      degree[u]++;
      degree[from[u]]++;
    }
    for (let v = 1; v < n; v++) {
      const c = cost[u * n + v] + price[u] + price[v];
      if (!done[v] && c < key[v]) {
        key[v] = c;
        from[v] = u;
      }
    }
  }
  let first = -1;
  let second = -1;
  const at = (v: number): number => cost[v] + price[0] + price[v];
  for (let v = 1; v < n; v++) {
    if (first < 0 || at(v) < at(first)) {
      second = first;
      first = v;
    } else if (second < 0 || at(v) < at(second)) second = v;
  }
  degree[0] = 2;
  degree[first]++;
  degree[second]++;
  return sum + at(first) + at(second);
}

function arborescenceBound({ cost, n }: ClosedProblem, upper: number): Bound {
  // Each stop is entered once by any arborescence; prices are needed on leaving only.
  const price = new Float64Array(n);
  const best = new Float64Array(n);
  const reduced = new Float64Array(n * n);
  const outDegree = new Int32Array(n);
  let value = -Infinity;
  let step = 2;
  let stale = 0;
  for (let round = 0; round < ROUNDS; round++) {
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) reduced[i * n + j] = cost[i * n + j] + price[i];
    const parent = minimumArborescence(reduced, n, 0);
    outDegree.fill(0);
    let sum = 0;
    for (let v = 1; v < n; v++) {
      sum += reduced[parent[v] * n + v];
      outDegree[parent[v]]++;
    }
    let back = 1;
    for (let v = 2; v < n; v++) if (reduced[v * n] < reduced[back * n]) back = v;
    sum += reduced[back * n];
    outDegree[back]++;
    for (const p of price) sum -= p;
    if (sum > value) {
      value = sum;
      best.set(price);
      stale = 0;
    } else if (++stale > 12) {
      step /= 2;
      stale = 0;
      if (step < 1e-4) break;
    }
    let norm = 0;
    for (const d of outDegree) norm += (d - 1) * (d - 1);
    if (norm === 0) break;
    const t = (step * Math.max(upper - sum, 1e-12 * Math.abs(upper))) / norm;
    for (let i = 0; i < n; i++) price[i] += t * (outDegree[i] - 1);
  }
  return { value, out: best, in: new Float64Array(n) };
}
