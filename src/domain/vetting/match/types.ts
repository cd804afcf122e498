import type { Transform, Unit } from '../../layers/definition.ts';

/** A variable of the match, as chosen for a planting. */
export interface Variable {
  readonly id: string;
  readonly title: string;
  readonly unit: Unit;
  readonly transform: Transform;
  readonly period: string;
  readonly words: readonly [string, string];
}

/** Within-zone spread of the (transformed) variables and what it was taken from. */
export interface Spread {
  /** k x k covariance S, row-major, transformed units. */
  readonly covariance: Float64Array;
  /** Names of the variables, k. */
  readonly variables: readonly string[];
  /** Where it comes from, in words for the screen: "within 6 zones" or "within 50 km of the site (no zones loaded)". */
  readonly from: string;
  readonly basis: 'zones' | 'circle';
  readonly zones: number;
  readonly cells: number;
  /** Lowest and highest of each variable over the cells (transformed), for novelty. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Components kept: the k of the chi-square. */
  readonly kept: number;
  /** Variables that are nearly the same, in words; empty when all components were kept. */
  readonly nearlySame: readonly string[];
}

export interface MatchColumns {
  readonly variables: readonly Variable[];
  /** Degrees of freedom: components kept. */
  readonly k: number;
  readonly d2: Float64Array;
  readonly match: Float64Array;
  readonly sigma: Float64Array;
  /** Lowest and highest match on the accuracy ring; equal to match where no radius is recorded. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Ring places (of 12) without a match, off the layers or in a hole; they are not in low and high. */
  readonly ringMissing?: Uint8Array;
  /** Value at the candidate in the file's unit, a column a variable. */
  readonly values: readonly Float64Array[];
  /** Part of D² of each variable, a column a variable; they sum to d2. */
  readonly parts: readonly Float64Array[];
  /** Index of the largest part, -1 unknown. */
  readonly limiting: Int8Array;
  /** Bit v set: variable v lies outside the range of the reference cells. */
  readonly novel: Uint32Array;
}
