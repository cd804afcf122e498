import type { Unit } from '../../layers/definition.ts';

/** Why a variable is not compared by its logarithm. */
export type NoLogarithm = 'no true zero' | 'is a logarithm' | 'not above zero' | 'not known';

/**
 * Whether the logarithm of a variable can be compared: it needs a true zero (a ratio scale; Stevens 1946, Science
 * 103:677-680, from memory) and values above it. null: it can.
 * @param least value of the layers that it is read from; undefined or NaN where it is not known.
 */
export function noLogarithm(unit: Unit, least: number | undefined): NoLogarithm | null {
  if (unit === '°C') return 'no true zero';
  if (unit === 'pH') return 'is a logarithm';
  if (least === undefined || Number.isNaN(least)) return 'not known';
  return least > 0 ? null : 'not above zero';
}
