import { normalTail } from '../../base/statistics.ts';
import type { NearestIndex } from './types.ts';

/**
 * Mean nearest distance against that of random places (Clark & Evans 1954, Ecology 35:445-453), without correction of edges:
 * expected 0.5 / sqrt(density), standard error sqrt((4 - pi) area / (4 pi)) / n. The paper rounds the constant to 0.26136
 * (times 1 / sqrt(n density)); exact it is 0.2613616, as R's spatstat has it.
 *
 * Edges keep neighbours out of sight, so that few trees in a known window look more regular than they are: see `donnelly`.
 * @param area of the window, in the square of the unit of `meanNearest`.
 */
export function clarkEvans(n: number, meanNearest: number, area: number): NearestIndex {
  return against(
    meanNearest,
    0.5 * Math.sqrt(area / n),
    Math.sqrt(((4 - Math.PI) * area) / (4 * Math.PI)) / n,
  );
}

/**
 * The same with the correction of edges for compact windows (Donnelly 1978): expected
 * 0.5 sqrt(A/n) + (0.0514 + 0.0412/sqrt(n)) P/n, variance 0.0703 A/n² + 0.037 P sqrt(A/n⁵). Some publications round 0.0412
 * to 0.041; this is the value that R's spatstat uses. The variance is from memory of the paper (spatstat 3.0 has none).
 */
export function donnelly(n: number, meanNearest: number, area: number, perimeter: number): NearestIndex {
  const expected = 0.5 * Math.sqrt(area / n) + ((0.0514 + 0.0412 / Math.sqrt(n)) * perimeter) / n;
  const variance = (0.0703 * area) / n ** 2 + 0.037 * perimeter * Math.sqrt(area / n ** 5);
  return against(meanNearest, expected, Math.sqrt(variance));
}

function against(mean: number, expected: number, error: number): NearestIndex {
  const z = (mean - expected) / error;
  return { expected, R: mean / expected, z, p: 2 * normalTail(Math.abs(z)) };
}
