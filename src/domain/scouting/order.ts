/**
 * The shortest order of visits over a square table of costs (seconds or metres, may be asymmetric), with a bound that no
 * order can beat. Exact to 22 stops (dynamic programme over subsets, Held & Karp 1962), above that local search against
 * the Held-Karp bound (1970).
 */
import { closedProblem, type ClosedProblem } from './closedProblem.ts';
import { localSearch } from './localSearch.ts';
import { lowerBound, type Bound } from './lowerBound.ts';
import { subsetTour } from './subsetTour.ts';
import type { Order, OrderProblem } from './types.ts';

/** Above this the exact method needs more memory than a phone has. */
export const EXACT_STOPS = 22;

/** What the search takes for a little worse, as a share of the mean step. */
const HEAT = 0.2;

export interface OrderOptions {
  /** Kicks of each local search; more find better orders of many stops. */
  readonly kicks?: number;
  readonly seed?: number;
}

/** @throws RangeError for a table that is not n x n or has a cost below zero: callers check what users typed. */
export function order(problem: OrderProblem, options: OrderOptions = {}): Order {
  const { n, cost } = problem;
  if (cost.length !== n * n) throw new RangeError(`costs are ${cost.length} numbers, ${n} x ${n} expected`);
  if (cost.some((c) => !(c >= 0 && c < Infinity)))
    throw new RangeError('costs must be finite and zero or more');
  for (const [end, row] of Object.entries({ start: problem.start, end: problem.end }))
    if (row !== null && !(Number.isInteger(row) && row >= 0 && row < n))
      throw new RangeError(`${end} is ${row}, which is no row of the table`);
  if (problem.end !== null && (problem.closed || (n > 1 && problem.start === problem.end)))
    throw new RangeError('a tour back to its start has no end of its own: ask for a closed tour without one');
  if (n === 0) return { order: [], total: 0, bound: 0 };
  if (n === 1) return { order: [0], total: 0, bound: 0 };
  if (n === 2) return two(problem);
  const closed = closedProblem(problem);
  const { tour, bound } = solve(closed, n, options);
  const rows = opened(closed, tour, problem);
  const total = pathCost(problem, rows);
  return { order: rows, total, bound: bound >= total - tolerance(total) ? total : Math.max(0, bound) };
}

interface Solved {
  readonly tour: readonly number[];
  /** Infinity where the tour is proven to be the best. */
  readonly bound: number;
}

function solve(closed: ClosedProblem, n: number, { kicks, seed = 1 }: OrderOptions): Solved {
  const quick = localSearch(closed, { kicks: 4 * n, seed, stopAt: -Infinity, heat: 0 });
  const total = costOf(closed, quick);
  const bound = lowerBound(closed, total);
  if (isBest(closed, quick, bound)) return { tour: quick, bound: Infinity };
  if (n <= EXACT_STOPS) return { tour: subsetTour(closed.cost, closed.n), bound: Infinity };
  // Under reduced costs tours differ by as much as before, but steps that no good tour takes look dear.
  const reduced = reducedCosts(closed, bound);
  const stopAt = bound.value - total + costOf(reduced, quick);
  // Tables that differ by direction have deep valleys far apart: several starts find more there than a long search.
  const starts = closed.symmetric ? 1 : 3;
  const effort = {
    kicks: kicks ?? (4000 + 40 * n) / (closed.symmetric ? 1 : 1.5),
    stopAt,
    heat: (HEAT * total) / n,
  };
  let tour = quick;
  for (let s = 0; s < starts && !isBest(closed, tour, bound); s++) {
    const found = localSearch(reduced, { ...effort, seed: seed + s });
    if (costOf(closed, found) < costOf(closed, tour)) tour = found;
  }
  return { tour, bound: isBest(closed, tour, bound) ? Infinity : bound.value };
}

const tolerance = (total: number): number => 1e-9 * Math.max(1, total);

function isBest(closed: ClosedProblem, tour: readonly number[], bound: Bound): boolean {
  const total = costOf(closed, tour);
  return bound.value >= total - tolerance(total);
}

function reducedCosts(closed: ClosedProblem, bound: Bound): ClosedProblem {
  const { cost, n } = closed;
  const reduced = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      if (i !== j) reduced[i * n + j] = cost[i * n + j] + bound.out[i] + bound.in[j];
  return { ...closed, cost: reduced };
}

function two({ cost, start, end, closed }: OrderProblem): Order {
  const forward = cost[1];
  const back = cost[2];
  const swap = start === 1 || end === 0 || (start === null && end === null && !closed && back < forward);
  const total = closed ? forward + back : swap ? back : forward;
  return { order: swap ? [1, 0] : [0, 1], total, bound: total };
}

function costOf({ cost, n }: ClosedProblem, tour: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += cost[tour[i] * n + tour[(i + 1) % n]];
  return sum;
}

/** Cuts the closed tour where the real way begins, and drops the stop without a place. */
function opened(
  { row }: ClosedProblem,
  tour: readonly number[],
  { start, end, closed }: OrderProblem,
): number[] {
  const at = tour.indexOf(0);
  const turned = [...tour.slice(at), ...tour.slice(0, at)].map((stop) => row[stop]);
  // Only an end is fixed: the way begins just behind it in the closed tour and ends at it.
  if (!closed && start === null && end !== null) return [...turned.slice(1), turned[0]];
  return turned.filter((r) => r >= 0);
}

function pathCost({ cost, n, closed }: OrderProblem, rows: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i + 1 < rows.length; i++) sum += cost[rows[i] * n + rows[i + 1]];
  return closed ? sum + cost[rows[rows.length - 1] * n + rows[0]] : sum;
}
