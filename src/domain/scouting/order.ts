/**
 * The shortest order of visits over a square table of costs (seconds or metres, may be asymmetric), with a bound that no
 * order can beat. Exact to 22 stops (dynamic programme over subsets, Held & Karp 1962, with states cut off by a bound),
 * above that local search against the Held-Karp bound (1970).
 */
import { closedProblem, type ClosedProblem } from './closedProblem.ts';
import { exactTour } from './exactTour.ts';
import { localSearch } from './localSearch.ts';
import { lowerBound } from './lowerBound.ts';
import type { Order, OrderProblem } from './types.ts';

/** Above this the exact method could need more memory than a phone has. */
export const EXACT_STOPS = 22;

export interface OrderOptions {
  /** Kicks of the local search; more find better orders of many stops. */
  readonly kicks?: number;
  readonly seed?: number;
}

/** @throws RangeError for a table that is not n x n or has a cost below zero: callers check what users typed. */
export function order(problem: OrderProblem, options: OrderOptions = {}): Order {
  const { n, cost } = problem;
  if (cost.length !== n * n) throw new RangeError(`costs are ${cost.length} numbers, ${n} x ${n} expected`);
  if (cost.some((c) => !(c >= 0))) throw new RangeError('costs must be zero or more');
  if (n === 0) return { order: [], total: 0, bound: 0 };
  if (n === 1) return { order: [0], total: 0, bound: 0 };
  if (n === 2) return two(problem);
  const closed = closedProblem(problem);
  let tour = localSearch(closed, options.kicks ?? kicksFor(n), options.seed ?? 1);
  const heuristic = costOf(closed, tour);
  const bound = lowerBound(closed, heuristic);
  let proven = bound.value >= heuristic - tolerance(heuristic);
  if (!proven && n <= EXACT_STOPS) {
    const exact = exactTour(closed, heuristic, bound);
    proven = exact.proven;
    tour = exact.tour ?? tour;
  }
  const rows = opened(closed, tour, problem);
  const total = pathCost(problem, rows);
  return { order: rows, total, bound: proven ? total : Math.max(0, Math.min(total, bound.value)) };
}

/** The exact method mends what a short search misses; a long search is for days that are too large for it. */
const kicksFor = (n: number): number => (n <= EXACT_STOPS ? 40 * n : 4000 + 250 * n);

const tolerance = (total: number): number => 1e-9 * Math.max(1, total);

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
