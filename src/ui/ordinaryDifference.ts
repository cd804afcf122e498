/** The ordinary difference of a variable: by how much two places differ in 95 of 100 cases. */
import type { Transform, Unit } from '../domain/layers/definition.ts';
import type { Spread } from '../domain/vetting/match/types.ts';
import { measured, number } from './format.ts';
import type { Units } from '../state/session.svelte.ts';

/**
 * Half-width of the band of ordinary differences of variable `i`, transformed. The difference of two independent places has
 * twice the variance of one; 1.96 is the normal quantile at 0.975.
 */
export const ordinaryHalf = ({ covariance }: Pick<Spread, 'covariance'>, i: number): number =>
  1.96 * Math.sqrt(2 * covariance[i * (Math.sqrt(covariance.length) + 1)]);

/** "± 0.8 °C"; "−8 to +9 %" where logarithms are compared: a factor, up or down; '' where it is not known. */
export function ordinaryWords(half: number, unit: Unit, transform: Transform, units: Units): string {
  if (!Number.isFinite(half)) return '';
  if (transform === 'log') {
    const decimals = half < 0.1 ? 1 : 0;
    return `−${number(100 * (1 - Math.exp(-half)), decimals)} to +${number(100 * (Math.exp(half) - 1), decimals)} %`;
  }
  // A difference of two percentages.
  if (unit === '%') return `± ${number(half, 1)} points`;
  return `± ${measured(half, unit, units, true)}`;
}

/**
 * The same about a value at the site, in its unit, for a limit that is set in it: "± 0.8 °C", "−80 to +90 mm".
 * NaN at the site: as `ordinaryWords`.
 */
export function ordinaryAbout(
  half: number,
  site: number,
  unit: Unit,
  transform: Transform,
  units: Units,
): string {
  if (transform !== 'log' || !Number.isFinite(half) || !(site > 0))
    return ordinaryWords(half, unit, transform, units);
  const below = measured(site * (1 - Math.exp(-half)), unit, units, true);
  return `−${below} to +${measured(site * (Math.exp(half) - 1), unit, units, true)}`;
}
