import { celsiusDifferenceToFahrenheit, metresToFeet, millimetresToInches } from '../../base/units.ts';
import type { Unit } from '../../layers/definition.ts';
import type { Variable } from './types.ts';

export type UnitSystem = 'metric' | 'us';

interface Shown {
  readonly unit: string;
  readonly decimals: number;
  readonly convert?: (x: number) => number;
}

/** How a difference is shown in each unit; units without a US customary twin are shown as they are. */
const METRIC: Readonly<Record<Unit, Shown>> = {
  m: { unit: 'm', decimals: 0 },
  '°': { unit: '°', decimals: 1 },
  '°C': { unit: '°C', decimals: 1 },
  '°C d': { unit: '°C d', decimals: 0 },
  mm: { unit: 'mm', decimals: 0 },
  days: { unit: 'days', decimals: 0 },
  '%': { unit: 'points', decimals: 1 }, // a difference of two percentages
  pH: { unit: 'pH', decimals: 1 },
  class: { unit: '', decimals: 0 },
  year: { unit: 'years', decimals: 0 },
  '1': { unit: '', decimals: 2 },
};
const US: Readonly<Partial<Record<Unit, Shown>>> = {
  m: { unit: 'ft', decimals: 0, convert: metresToFeet },
  '°C': { unit: '°F', decimals: 1, convert: celsiusDifferenceToFahrenheit },
  '°C d': { unit: '°F d', decimals: 0, convert: celsiusDifferenceToFahrenheit },
  mm: { unit: 'in', decimals: 1, convert: millimetresToInches },
};

export interface Difference {
  /** Candidate minus site, in `unit`; NaN unknown. */
  readonly value: number;
  readonly unit: string;
  /** "warmer by 0.8 °C", "same to 1 mm", "not known". */
  readonly words: string;
}

/** The plain difference of one variable, candidate minus site, from values in the file's unit (before transforms). */
export function difference(
  site: number,
  candidate: number,
  variable: Variable,
  system: UnitSystem,
): Difference {
  const { unit, decimals, convert } =
    (system === 'us' ? US[variable.unit] : undefined) ?? METRIC[variable.unit];
  const plain = candidate - site;
  const value = convert ? convert(plain) : plain;
  if (!Number.isFinite(value)) return { value: NaN, unit, words: 'not known' };
  const amount = Math.abs(value).toFixed(decimals);
  // An angle's sign stands close, a unit apart.
  const withUnit = (x: string): string => (unit === '' || unit === '°' ? x + unit : `${x} ${unit}`);
  if (Number(amount) === 0)
    return { value, unit, words: `same to ${withUnit((10 ** -decimals).toFixed(decimals))}` };
  return { value, unit, words: `${variable.words[value > 0 ? 0 : 1]} by ${withUnit(amount)}` };
}
