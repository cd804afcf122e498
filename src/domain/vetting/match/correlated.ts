export interface CorrelatedPair {
  readonly a: number;
  readonly b: number;
  readonly r: number;
  /** The one of the two that goes along more with all the others: the one to do without. */
  readonly spare: number;
}

/** From here on two variables say nearly the same (common practice, no source). */
export const NEARLY_THE_SAME = 0.9;

/**
 * Pairs of variables that go together, the closest first.
 * @param correlation k x k row-major. @param least |r| from which a pair counts.
 */
export function correlated(correlation: Float64Array, least = NEARLY_THE_SAME): CorrelatedPair[] {
  const k = Math.sqrt(correlation.length);
  const along = Array.from({ length: k }, (_, i) => {
    let sum = 0;
    for (let j = 0; j < k; j++) if (j !== i) sum += Math.abs(correlation[i * k + j]);
    return sum;
  });
  const pairs: CorrelatedPair[] = [];
  for (let a = 0; a < k; a++)
    for (let b = a + 1; b < k; b++) {
      const r = correlation[a * k + b];
      // With two variables both go along as much: the later one is left out.
      if (Math.abs(r) >= least) pairs.push({ a, b, r, spare: along[a] > along[b] + 1e-9 ? a : b });
    }
  return pairs.sort((p, q) => Math.abs(q.r) - Math.abs(p.r));
}
