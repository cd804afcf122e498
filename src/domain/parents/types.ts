/**
 * The choice of mother trees: a spaced set of exactly K with the greatest total weight, and its proof.
 * Rows are indices into the arrays of the problem, not candidate ids; callers map them.
 */
export interface ParentProblem {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** > 0; rows with NaN or <= 0 are never chosen. */
  readonly weight: Float64Array;
  /** Deterministic tie-break: lower id (string order) wins. */
  readonly id: readonly string[];
  /** Metres; two members are at least this far apart on the WGS 84 ellipsoid (>= counts as far enough). */
  readonly spacing: number;
  readonly count: number;
  /** Rows that must be members. */
  readonly locks: readonly number[];
  /** Rows that must not be members. */
  readonly bans: readonly number[];
}

/** 'optimal': exactly K, proven. 'within': exactly K, gap shown. 'fewer': K cannot be had; the largest number, proven or bounded. */
export type ParentStatus = 'optimal' | 'within' | 'fewer';

export interface ParentSet {
  readonly status: ParentStatus;
  /** Rows, heaviest first. */
  readonly members: readonly number[];
  readonly total: number;
  /** No set of the same number can exceed this total. */
  readonly bound: number;
  /** Largest number of members that spacing, locks and bans allow; -1 where it was not needed to prove the answer. */
  readonly largest: number;
  /** Upper bound of that number; equals `largest` when proven. */
  readonly largestBound: number;
  /** Crowded groups that yield one member though they hold many candidates, largest first (status 'fewer', else empty). */
  readonly bottlenecks: ReadonlyArray<{ readonly rows: readonly number[]; readonly yields: number }>;
  /** Locks that contradict one another (closer than the spacing), pairs of rows; then members is empty. */
  readonly conflictingLocks: ReadonlyArray<readonly [number, number]>;
  /** States that the search looked at. */
  readonly nodes: number;
}

export interface Reserves {
  /** Spaced from all members and one another, heaviest first. */
  readonly reserves: readonly number[];
  /** Where none are left: trees that could stand in for one named member. */
  readonly standIns: ReadonlyArray<{ readonly row: number; readonly member: number }>;
}

export interface WhyNot {
  readonly row: number;
  /** 'banned' | 'no weight' | 'conflicts with a lock' | 'member' | 'possible' (then total and displaced are set). */
  readonly kind: 'member' | 'banned' | 'no weight' | 'lock' | 'possible' | 'none';
  /** Best set forced to hold the row. */
  readonly total: number;
  readonly difference: number;
  readonly status: ParentStatus;
  readonly displaced: readonly number[];
  readonly instead: readonly number[];
}

/** Rows that would be eligible if one rule alone were set aside, with the weights they would have. */
export interface Relaxation {
  readonly rule: string;
  readonly title: string;
  readonly change: string;
  readonly rows: readonly number[];
  readonly weights: readonly number[];
}

/** What could be had if one rule alone were set aside or loosened. */
export interface HeldBack {
  readonly rule: string;
  readonly title: string;
  readonly change: string;
  /** Candidates that only this rule keeps out. */
  readonly candidates: number;
  /** Number of members that could then be had, at most the number asked for. */
  readonly largest: number;
}
