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

/** @param upper cost of a tour that is known: the steps are as long as the gap to it. */
export function lowerBound(problem: ClosedProblem, upper: number): Bound {
  const bound = problem.symmetric ? treeBound(problem, upper) : arborescenceBound(problem, upper);
  // Rounding must not lift the bound over the best tour; where all costs are whole, so is the best tour.
  const value = bound.value - 1e-11 * Math.max(1, Math.abs(upper));
  const whole = problem.cost.every(Number.isInteger);
  return { ...bound, value: whole ? Math.ceil(value - 1e-6) : value };
}

/** Rounds of the ascent: many for few stops, fewer where a round takes long. */
const rounds = (n: number, work: number, least: number, most: number): number =>
  Math.round(Math.min(most, Math.max(least, work / (n * n))));

/**
 * Ascent on prices by the subgradient, a share of the last step kept (Volgenant & Jonker 1982, EJOR 9:83-89); the steps are
 * halved when the bound has not risen for a while.
 *
 * @param measure the bound at these prices; writes the degree of each stop less the one a tour has.
 * @returns the highest bound and, in `price`, where it is.
 */
function ascend(
  price: Float64Array,
  upper: number,
  most: number,
  measure: (price: Float64Array, excess: Int32Array) => number,
): number {
  const n = price.length;
  const best = new Float64Array(n);
  const excess = new Int32Array(n);
  const before = new Int32Array(n);
  const patience = Math.max(10, most / 50);
  let value = -Infinity;
  let step = 2;
  let stale = 0;
  for (let round = 0; round < most && step > 1e-4; round++) {
    const bound = measure(price, excess);
    if (bound > value) {
      value = bound;
      best.set(price);
      stale = 0;
    } else if (++stale > patience) {
      step /= 2;
      stale = 0;
    }
    let norm = 0;
    for (const e of excess) norm += e * e;
    if (norm === 0) break;
    const t = (step * Math.max(upper - bound, 1e-12 * Math.abs(upper))) / norm;
    for (let i = 0; i < n; i++) price[i] += t * (0.7 * excess[i] + 0.3 * before[i]);
    before.set(excess);
  }
  price.set(best);
  return value;
}

function treeBound({ cost, n }: ClosedProblem, upper: number): Bound {
  const price = new Float64Array(n);
  const value = ascend(price, upper, rounds(n, 36e6, 400, 2500), (p, excess) => {
    const tree = oneTree(cost, n, p, excess);
    let sum = 0;
    for (let i = 0; i < n; i++) {
      sum += p[i];
      excess[i] -= 2;
    }
    return tree - 2 * sum;
  });
  return { value, out: price, in: price };
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
  const reduced = new Float64Array(n * n);
  const value = ascend(price, upper, rounds(n, 8e6, 200, 1000), (p, excess) => {
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) reduced[i * n + j] = cost[i * n + j] + p[i];
    const parent = minimumArborescence(reduced, n, 0);
    excess.fill(-1);
    let sum = 0;
    for (let v = 1; v < n; v++) {
      sum += reduced[parent[v] * n + v];
      excess[parent[v]]++;
    }
    let back = 1;
    for (let v = 2; v < n; v++) if (reduced[v * n] < reduced[back * n]) back = v;
    excess[back]++;
    sum += reduced[back * n];
    for (const x of p) sum -= x;
    return sum;
  });
  // Prices of entering leave every tour's rank as it is; with them the cheapest way into each stop comes to nothing.
  const enter = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    let least = Infinity;
    for (let i = 0; i < n; i++) if (i !== j) least = Math.min(least, cost[i * n + j] + price[i]);
    enter[j] = -least;
  }
  return { value, out: price, in: enter };
}
