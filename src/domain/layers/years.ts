/** Years in the attributes of a layer: since when the ground is built over, a burial ground open, a tree planted. */
import type { Attributes } from '../base/geo.ts';

/** Years that a layer can mean. Marks of nothing (0, 9999) and numbers of other things lie outside. */
const EARLIEST = 1600;
const LATEST = 2100;

/** A date as services of features write it, milliseconds since 1970 (from memory): more digits than any year or day has. */
const MILLISECONDS = /^-?\d{11,13}$/;
/** Without signs between its parts: 19870501. */
const COMPACT = /^(\d{4})(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])(\d{6})?$/;
const YEAR = /(?<!\d)\d{4}(?!\d)/g;
/** Only an end is known, and the beginning may lie far before it. */
const ENDS =
  /\b(before|until|till|by|prior to|pre|up to|not after|no later than)\W{0,2}(ca?\.?|circa|about)?\s*\d{4}|\d{4}\s+(or|and)\s+(before|earlier|older)/i;

/**
 * The year of a cell: 1987, "1987-05-01", "5/1/1987", "May 1987", "ca. 1900", "1920s", "c1900", 19870501, or milliseconds since
 * 1970; of several ("1985-1987") the first. NaN where there is none, where it is no year from 1600 to 2100, and where only an
 * end is told ("before 1910").
 */
export function yearIn(value: Attributes[string] | undefined): number {
  if (typeof value === 'number')
    return Number.isInteger(value) ? yearOfText(String(value)) : plausible(value);
  return typeof value === 'string' ? yearOfText(value.trim()) : NaN;
}

function yearOfText(text: string): number {
  if (MILLISECONDS.test(text)) return plausible(new Date(Number(text)).getUTCFullYear());
  const compact = COMPACT.exec(text);
  if (compact) return plausible(Number(compact[1]));
  if (ENDS.test(text)) return NaN;
  for (const [digits] of text.matchAll(YEAR)) {
    const year = plausible(Number(digits));
    if (!Number.isNaN(year)) return year;
  }
  return NaN;
}

const plausible = (x: number): number => {
  const year = Math.floor(x);
  return year >= EARLIEST && year <= LATEST ? year : NaN;
};

const words = (text: string): readonly string[] => text.split(' ');

/**
 * Attributes that usually hold such a year, best first, in small letters without signs (common practice, no source; start_date
 * is a tag of OpenStreetMap).
 */
const SINCE = words(
  'since sinceyear yeardeveloped developedyear firstdeveloped developed yearbuilt yrbuilt yearblt yrblt builtyear builtin built constructionyear yearconstructed constructed opened yearopened openedyear opendate openingdate established yearestablished establishedyear estyear founded yearfounded startdate startyear year',
);
const PLANTED = words(
  'planted plantedyear yearplanted plantingyear plantyear plantdate planteddate plantingdate dateplanted plantedon plantedin yrplanted',
);

/** What the year of a layer says: since when a place is what it is, or when a tree was planted. */
export type YearKind = 'since' | 'planted';
const USUAL: Readonly<Record<YearKind, readonly string[]>> = { since: SINCE, planted: PLANTED };

const plain = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]/g, '');

/** Those of the attributes that are usual for a year of this kind, best first. */
export function yearFields(names: readonly string[], kind: YearKind): string[] {
  return USUAL[kind].flatMap((usual) => names.filter((n) => plain(n) === usual));
}

/**
 * Reads the year of features, NaN none.
 * @param named the attribute that holds it, as the user chose it ('' = in none); undefined: the first of the usual ones in
 * which a year stands.
 */
export function yearReader(kind: YearKind, named: string | undefined): (attributes: Attributes) => number {
  if (named !== undefined) return (attributes) => (named === '' ? NaN : yearIn(attributes[named]));
  const usual = new Map(USUAL[kind].map((name, rank) => [name, rank]));
  // Names of attributes repeat from feature to feature.
  const ranks = new Map<string, number>();
  const rankOf = (name: string): number => {
    let rank = ranks.get(name);
    if (rank === undefined) ranks.set(name, (rank = usual.get(plain(name)) ?? Infinity));
    return rank;
  };
  return (attributes) => {
    let best = Infinity;
    let found = NaN;
    for (const name in attributes) {
      const rank = rankOf(name);
      if (rank >= best) continue;
      const year = yearIn(attributes[name]);
      if (Number.isNaN(year)) continue;
      best = rank;
      found = year;
    }
    return found;
  };
}
