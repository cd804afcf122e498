/** From the units of the program to the user's, and back: the only place where they are converted. */
import {
  celsiusDifferenceToFahrenheit,
  celsiusToFahrenheit,
  centimetresToInches,
  feetToMetres,
  inchesToCentimetres,
  kilometresToMiles,
  metresToFeet,
  milesToKilometres,
  millimetresToInches,
  SQUARE_METRES_PER_ACRE,
  SQUARE_METRES_PER_HECTARE,
  inchesToMillimetres,
} from '../domain/base/units.ts';
import type { Units } from '../state/session.svelte.ts';

export type Quantity =
  'length' | 'distance' | 'temperature' | 'difference' | 'heat' | 'rain' | 'diameter' | 'speed';

interface Conversion {
  readonly metric: string;
  readonly us: string;
  to(x: number): number;
  from(x: number): number;
}

/** Program units: m, km, °C, °C (a difference), °C d (degree days), mm, cm, km/h. */
const CONVERSIONS: Readonly<Record<Quantity, Conversion>> = {
  length: { metric: 'm', us: 'ft', to: metresToFeet, from: feetToMetres },
  distance: { metric: 'km', us: 'mi', to: kilometresToMiles, from: milesToKilometres },
  temperature: { metric: '°C', us: '°F', to: celsiusToFahrenheit, from: (f) => (f - 32) / 1.8 },
  difference: { metric: '°C', us: '°F', to: celsiusDifferenceToFahrenheit, from: (f) => f / 1.8 },
  heat: { metric: '°C d', us: '°F d', to: celsiusDifferenceToFahrenheit, from: (f) => f / 1.8 },
  rain: { metric: 'mm', us: 'in', to: millimetresToInches, from: inchesToMillimetres },
  diameter: { metric: 'cm', us: 'in', to: centimetresToInches, from: inchesToCentimetres },
  speed: { metric: 'km/h', us: 'mph', to: kilometresToMiles, from: milesToKilometres },
};

export const unitOf = (quantity: Quantity, units: Units): string => CONVERSIONS[quantity][units];

/** A number in the user's unit, rounded for an input field. */
export function shown(x: number, quantity: Quantity, units: Units): number {
  const value = units === 'us' ? CONVERSIONS[quantity].to(x) : x;
  return Number(value.toPrecision(7));
}

/** What was typed in the user's unit, in the program's. */
export const typed = (x: number, quantity: Quantity, units: Units): number =>
  units === 'us' ? CONVERSIONS[quantity].from(x) : x;

/** "1,320 ft"; an em dash where it is not known. */
export function amount(x: number, quantity: Quantity, units: Units, decimals = 0): string {
  if (!Number.isFinite(x)) return '—';
  const value = units === 'us' ? CONVERSIONS[quantity].to(x) : x;
  return `${number(value, decimals)} ${unitOf(quantity, units)}`;
}

/** A distance to drive or walk in a day: always km or mi, so that a column of them compares at sight. */
export const travel = (metres: number, units: Units): string => amount(metres / 1000, 'distance', units, 1);

/** An area of ground: "12.4 ac" or "5.02 ha". */
export function ground(squareMetres: number, units: Units): string {
  const value = squareMetres / (units === 'us' ? SQUARE_METRES_PER_ACRE : SQUARE_METRES_PER_HECTARE);
  return `${number(value, value < 10 ? 2 : value < 1000 ? 1 : 0)} ${units === 'us' ? 'ac' : 'ha'}`;
}

/** Short lengths in m or ft, long ones in km or mi. */
export function far(metres: number, units: Units): string {
  const long = units === 'us' ? 1609.344 : 1000;
  return metres < long
    ? amount(metres, 'length', units)
    : amount(metres / 1000, 'distance', units, metres < 10 * long ? 1 : 0);
}

/** One format for each number of decimals: making one is far dearer than using it. */
const FORMATS = Array.from(
  { length: 8 },
  (_, decimals) =>
    new Intl.NumberFormat('en-US', { minimumFractionDigits: decimals, maximumFractionDigits: decimals }),
);

/** 0 to 7 decimals; an em dash where the number is not known. */
export const number = (x: number, decimals = 0): string =>
  Number.isFinite(x) ? FORMATS[decimals].format(x) : '—';

/** Match and probability: two decimals, but never a false 0.00 or 1.00. */
export function share(x: number): string {
  if (!Number.isFinite(x)) return '—';
  if (x > 0 && x < 0.005) return '<0.01';
  if (x < 1 && x >= 0.995) return '>0.99';
  return x.toFixed(2);
}

/** Seconds after midnight as a clock time. */
export function clock(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}

/** "3 h 05 min" */
export function duration(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  const hours = Math.floor(minutes / 60);
  return hours === 0 ? `${minutes} min` : `${hours} h ${String(minutes % 60).padStart(2, '0')} min`;
}

/** Which quantity a unit of a rule, a piece of evidence or a variable is; null where it is shown as it stands. */
export function quantityOf(unit: string): Quantity | null {
  const map: Readonly<Record<string, Quantity>> = {
    m: 'length',
    km: 'distance',
    mm: 'rain',
    cm: 'diameter',
    '°C': 'temperature',
    '°C d': 'heat',
  };
  return map[unit] ?? null;
}

/** Decimals that a value of this size is worth. */
function decimalsOf(x: number): number {
  if (Number.isInteger(x) || Math.abs(x) >= 100) return 0;
  return Math.abs(x) < 10 ? 2 : 1;
}

/**
 * A measured value with its unit as stored ("m", "km", "°", ""), in the user's units. `isDifference`: a difference between
 * two values, which for a temperature has no offset.
 */
export function measured(x: number, unit: string, units: Units, isDifference = false): string {
  if (!Number.isFinite(x)) return 'not known';
  if (unit === 'm' && Math.abs(x) >= 1000) return far(x, units);
  if (unit === '°C') return amount(x, isDifference ? 'difference' : 'temperature', units, 1);
  const quantity = quantityOf(unit);
  if (quantity) {
    // Feet are fine enough to be whole; an inch is not.
    const value = shown(x, quantity, units);
    return amount(x, quantity, units, unit === 'm' && units === 'us' ? 0 : decimalsOf(value));
  }
  const decimals = decimalsOf(x);
  if (unit === 'share') {
    // Small shares with a decimal, unless they are whole per cents.
    const percent = Math.round(1000 * x) / 10;
    return `${number(percent, percent < 10 && !Number.isInteger(percent) ? 1 : 0)} %`;
  }
  if (unit === 'year') return String(Math.round(x));
  if (unit === '' || unit === '1') return number(x, decimals);
  return unit === '°' ? `${number(x, decimals)}°` : `${number(x, decimals)} ${unit}`;
}

/** A rule's limit, written in metric, with its figures in the user's units. */
export function limitWords(limit: string, units: Units): string {
  if (units !== 'us') return limit;
  return limit.replace(/(\d[\d.,]*)\s*(km|mm|cm|m|°C)(?![\p{L}\p{N}])/gu, (_, figure: string, unit: string) =>
    measured(Number(figure.replaceAll(',', '')), unit, units, true),
  );
}

/** A to Z, then AA, AB ...: the letters of reserves. */
export function letters(i: number): string {
  const last = String.fromCharCode(65 + (i % 26));
  return i < 26 ? last : letters(Math.floor(i / 26) - 1) + last;
}

/** Words that begin a line of their own. */
export const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** Words that end as a sentence: one full stop, never two. */
export const stopped = (words: string): string =>
  words === '' || /[.!?…]$/.test(words) ? words : `${words}.`;

/** How many times: "×1.5", "×12". */
export const times = (x: number): string =>
  `×${x >= 10 ? number(Math.round(x)) : String(Number(x.toPrecision(2)))}`;

/** Size of a file: "1.2 MB". Decimal prefixes, as file managers give them. */
export function bytesOf(n: number): string {
  if (n < 1000) return `${n} bytes`;
  if (n < 1e6) return `${number(n / 1e3, n < 1e4 ? 1 : 0)} kB`;
  return n < 1e9 ? `${number(n / 1e6, n < 1e8 ? 1 : 0)} MB` : `${number(n / 1e9, 1)} GB`;
}
