import type { OrderProblem } from './types.ts';

/** A closed tour over n stops that stands for the problem asked: fixed or free ends are worked into the costs. */
export interface ClosedProblem {
  readonly cost: Float64Array;
  readonly n: number;
  /** Row of the problem behind each stop; stop 0 is the start (or the end, where only that is fixed). -1: a stop without a place
   * that joins a free end to a free start. */
  readonly row: Int32Array;
  readonly symmetric: boolean;
  /** Large cost of a step that is not allowed. */
  readonly never: number;
}

/**
 * - closed: as it is.
 * - open from a start to anywhere: the way back to the start costs nothing.
 * - open from anywhere to an end: the way out of the end costs nothing.
 * - from start to end: the way end -> start costs nothing, every other way into the start or out of the end is forbidden.
 * - open, both ends free: one stop more, reached and left at no cost.
 */
export function closedProblem({ cost, n, start, end, closed }: OrderProblem): ClosedProblem {
  let most = 0;
  for (const c of cost) if (c > most) most = c;
  const never = (most + 1) * (n + 1);
  const free = !closed && start === null && end === null;
  const first = free ? -1 : (start ?? end ?? 0);
  const row = Int32Array.from([first, ...Array.from({ length: n }, (_, i) => i).filter((i) => i !== first)]);
  const m = row.length;
  const out = new Float64Array(m * m);
  for (let a = 0; a < m; a++) {
    for (let b = 0; b < m; b++) {
      const i = row[a];
      const j = row[b];
      if (a === b || i < 0 || j < 0) continue;
      out[a * m + b] = stepCost(cost[i * n + j], i, j);
    }
  }
  return { cost: out, n: m, row, symmetric: isSymmetric(out, m), never };

  function stepCost(c: number, i: number, j: number): number {
    if (closed) return c;
    if (start !== null && end !== null) {
      if (i === end) return j === start ? 0 : never;
      return j === start ? never : c;
    }
    return (start !== null && j === start) || (end !== null && i === end) ? 0 : c;
  }
}

function isSymmetric(cost: Float64Array, n: number): boolean {
  for (let i = 0; i < n; i++)
    for (let j = 0; j < i; j++) if (cost[i * n + j] !== cost[j * n + i]) return false;
  return true;
}
