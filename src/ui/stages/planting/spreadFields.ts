/** Standard deviations as the user types them. */
import type { Transform, Unit } from '../../../domain/layers/definition.ts';
import type { SpreadView } from '../../../domain/vetting/match/types.ts';
import type { Units } from '../../../state/session.svelte.ts';
import { quantityOf, shown, typed, type Quantity } from '../../format.ts';

export interface SdField {
  readonly quantity: Quantity | null;
  /** Shown where there is no quantity. */
  readonly unit: string;
  /** The field holds the standard deviation of the plan times this. */
  readonly scale: number;
}

/**
 * How the standard deviation of a variable is shown. Of the natural logarithm it is given in per cent (times 100): for the
 * small ones that occur it is the standard deviation relative to the mean (exactly that is sqrt(exp(s²) - 1): 10.03 % for
 * s = 0.10; lognormal distribution, Aitchison & Brown 1957).
 */
export function sdField(unit: Unit, transform: Transform): SdField {
  if (transform === 'log') return { quantity: null, unit: '%', scale: 100 };
  // A spread is a difference: degrees without the offset of the scale.
  const quantity = unit === '°C' ? 'difference' : quantityOf(unit);
  return { quantity, unit: unit === '1' ? '' : unit === '%' ? 'points' : unit, scale: 1 };
}

/** Rounded to three figures as the user reads it, in the plan's unit. */
export function roundedSd(sd: number, { quantity, scale }: SdField, units: Units): number {
  const field = quantity ? shown(sd, quantity, units) : sd * scale;
  const round = Number(field.toPrecision(3));
  return quantity ? typed(round, quantity, units) : round / scale;
}

/** The standard deviations of the present spread, to begin typing with: variable -> value in the plan's unit. */
export function presentSds({ variables, spread }: SpreadView, units: Units): Record<string, number> {
  const k = variables.length;
  return Object.fromEntries(
    variables.map((v, i) => [
      v.id,
      roundedSd(Math.sqrt(spread.covariance[i * k + i]), sdField(v.unit, v.transform), units),
    ]),
  );
}

/**
 * A standard deviation when its variable is compared otherwise: to first order sd of ln x = sd of x / x (delta method).
 * @param at a value that it holds about; undefined is answered where it is not above zero.
 */
export function sdOtherwise(sd: number | undefined, at: number, to: Transform): number | undefined {
  if (sd === undefined || !(at > 0)) return undefined;
  return to === 'log' ? sd / at : sd * at;
}
