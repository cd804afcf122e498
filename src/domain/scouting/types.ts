import type { Place } from '../base/geo.ts';

/** Order of visits over a square table of costs (seconds, may be asymmetric). */
export interface OrderProblem {
  /** Row-major n x n; cost[i*n+j] from i to j. */
  readonly cost: Float64Array;
  readonly n: number;
  /** Row where the day starts; null: anywhere. */
  readonly start: number | null;
  /** Row where it ends; null: anywhere (open) or back at the start (closed). */
  readonly end: number | null;
  /** A closed tour returns to its start. */
  readonly closed: boolean;
}

export interface Order {
  /** Rows in order; for a closed tour the start is not repeated at the end. */
  readonly order: readonly number[];
  readonly total: number;
  /** No order is shorter than this; equals total when proven. */
  readonly bound: number;
}

export interface Stop extends Place {
  /** Candidate row. */
  readonly row: number;
  readonly id: string;
  readonly title: string;
  /** Seconds after midnight, local. */
  readonly arrive: number;
  readonly leave: number;
  /** Travel from the stop before. */
  readonly travelSeconds: number;
  readonly travelMetres: number;
  /** Past the hours of the day. */
  readonly late: boolean;
}

export interface ScoutingDay {
  readonly key: string;
  readonly start: Place & { readonly name: string };
  readonly end: Place & { readonly name: string };
  readonly leave: number;
  readonly home: number;
  /** End of the hours of the day, seconds after midnight. */
  readonly until: number;
  readonly stops: readonly Stop[];
  readonly travelSeconds: number;
  readonly travelMetres: number;
  /** Travel time that no order can beat, seconds. */
  readonly boundSeconds: number;
  readonly lastLegSeconds: number;
  readonly lastLegMetres: number;
  /** Straight-line version: distances are geodesic x detour at a set speed, a guess that the sheet states. */
  readonly guess: { readonly detour: number; readonly kmh: number };
}
