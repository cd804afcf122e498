import { inWords } from '../../base/inWords.ts';
import { symmetricEigen } from '../../base/linalg.ts';

/** Components with less than this share of the largest eigenvalue are left out (methods, environmental match). */
export const LEAST_EIGENVALUE = 1e-6;

/** How differences are measured: D² = dᵀ M d, chi-square with `kept` degrees of freedom for two places of one zone. */
export interface Metric {
  /** Number of variables. */
  readonly k: number;
  /** Components kept: the degrees of freedom. */
  readonly kept: number;
  /** M, the inverse of 2S (its pseudo-inverse where components were dropped), k x k, row-major. */
  readonly inverse: Float64Array;
  /** W, kept x k, row-major: D² = |W d|², for loops over many places. */
  readonly whitening: Float64Array;
  /** Which variables are nearly the same, one sentence a group; empty when all components were kept. */
  readonly nearlySame: readonly string[];
}

/**
 * Groups of variables tied together by the dropped components. The projector on the dropped space does not depend on
 * how the eigenvectors happen to be turned within it; variables linked through it form one group.
 */
function tiedGroups(projector: Float64Array, names: readonly string[]): string[] {
  const k = names.length;
  const group = Int32Array.from({ length: k }, (_, i) => (projector[i * k + i] > 1e-3 ? i : -1));
  for (let i = 0; i < k; i++)
    for (let j = i + 1; j < k; j++) {
      if (group[i] < 0 || group[j] < 0 || Math.abs(projector[i * k + j]) < 1e-3) continue;
      const [a, b] = [group[i], group[j]];
      for (let m = 0; m < k; m++) if (group[m] === b) group[m] = a;
    }
  const sentences: string[] = [];
  for (const g of new Set(group)) {
    if (g < 0) continue;
    const members = names.filter((_, i) => group[i] === g);
    let rank = 0;
    for (let i = 0; i < k; i++) if (group[i] === g) rank += projector[i * k + i];
    const all = Math.round(rank) === members.length - 1;
    sentences.push(
      `${inWords(members)} ${all ? 'are nearly the same' : 'nearly determine one another'} in this area`,
    );
  }
  return sentences;
}

/**
 * Decomposes the covariance on its correlation form and inverts 2S over the components kept.
 * @param covariance S, k x k row-major, with positive variances. @param names of the variables, for the sentences.
 */
export function metric(covariance: Float64Array, names: readonly string[]): Metric {
  const k = names.length;
  const sd = Float64Array.from({ length: k }, (_, i) => Math.sqrt(covariance[i * k + i]));
  const correlation = Float64Array.from(covariance, (c, at) => c / (sd[Math.floor(at / k)] * sd[at % k]));
  const { values, vectors } = symmetricEigen(correlation, k);

  const inverse = new Float64Array(k * k);
  const whitening: number[] = [];
  const dropped = new Float64Array(k * k);
  let kept = 0;
  for (let r = 0; r < k; r++) {
    const keep = values[r] >= LEAST_EIGENVALUE * values[0];
    if (keep) kept++;
    for (let i = 0; keep && i < k; i++)
      whitening.push(vectors[r * k + i] / (Math.sqrt(2 * values[r]) * sd[i]));
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) {
        const outer = vectors[r * k + i] * vectors[r * k + j];
        if (keep) inverse[i * k + j] += outer / (2 * values[r] * sd[i] * sd[j]);
        else dropped[i * k + j] += outer;
      }
  }
  return {
    k,
    kept,
    inverse,
    whitening: Float64Array.from(whitening),
    nearlySame: kept < k ? tiedGroups(dropped, names) : [],
  };
}
