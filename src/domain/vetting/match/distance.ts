import { chiSquareTail, sigmaDissimilarity } from '../../base/statistics.ts';
import type { Metric } from './metric.ts';

/** Columns over n places; NaN (limiting -1) where a variable is missing at the place or at the site. */
export interface Distances {
  /** Squared Mahalanobis distance dᵀ (2S)⁻¹ d. */
  readonly d2: Float64Array;
  /** 1 - F(D²; k): share of pairs of places inside one zone that differ by more. */
  readonly match: Float64Array;
  readonly sigma: Float64Array;
  /** Part of each variable, d_i ((2S)⁻¹ d)_i, a column a variable: they sum to d2; one may be below zero. */
  readonly parts: readonly Float64Array[];
  /** Variable with the largest part; -1 unknown, or no difference at all. */
  readonly limiting: Int8Array;
  /** Bit v set: variable v lies outside the range of the reference cells (Elith et al. 2010). */
  readonly novel: Uint32Array;
}

/**
 * Squared distance, match, sigma, parts and novelty of n places against the site (Mahalanobis 1936; methods,
 * environmental match).
 * @param site k values, @param values k columns of n values, both after transforms.
 * @param low,high range of each variable over the reference cells.
 */
export function distance(
  metric: Metric,
  site: Float64Array,
  values: readonly Float64Array[],
  low: Float64Array,
  high: Float64Array,
): Distances {
  const { k, kept, inverse } = metric;
  const n = values[0].length;
  const d2 = new Float64Array(n);
  const match = new Float64Array(n);
  const sigma = new Float64Array(n);
  const parts = Array.from({ length: k }, () => new Float64Array(n));
  const limiting = new Int8Array(n);
  const novel = new Uint32Array(n);
  const d = new Float64Array(k);
  for (let i = 0; i < n; i++) {
    let outside = 0;
    for (let v = 0; v < k; v++) {
      const x = values[v][i];
      d[v] = x - site[v];
      if (x < low[v] || x > high[v]) outside |= 1 << v;
    }
    novel[i] = outside;
    let sum = 0;
    let largest = 0;
    let at = -1;
    for (let v = 0; v < k; v++) {
      let md = 0;
      for (let w = 0; w < k; w++) md += inverse[v * k + w] * d[w];
      const part = d[v] * md;
      parts[v][i] = part;
      sum += part;
      if (part > largest) {
        largest = part;
        at = v;
      }
    }
    if (sum !== sum) {
      // One missing variable leaves the whole comparison open: no part of it may look measured.
      d2[i] = match[i] = sigma[i] = NaN;
      for (let v = 0; v < k; v++) parts[v][i] = NaN;
      limiting[i] = -1;
      continue;
    }
    const distance2 = sum > 0 ? sum : 0; // rounding may leave -1e-20 for equal places
    d2[i] = distance2;
    match[i] = chiSquareTail(distance2, kept);
    sigma[i] = sigmaDissimilarity(distance2, kept);
    limiting[i] = at;
  }
  return { d2, match, sigma, parts, limiting, novel };
}
