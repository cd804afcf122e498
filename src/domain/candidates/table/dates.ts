/**
 * Dates as people write them. ISO 8601 stands as it is; "9/30/2024" and "30.9.2024" are told apart by the whole column, since
 * a day over 12 in one row settles the order for all; what stays open is kept as written.
 */
export type Order = 'month first' | 'day first' | 'open';

const NUMERIC = /^(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})(?:[ T,].*)?$/;
const ISO = /^(\d{4})[-/](\d{1,2})(?:[-/](\d{1,2})(?:[T ].*)?)?$/;
const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];

/** Collects what the cells of a column say of the order of day and month. */
export class OrderVotes {
  #day = 0;
  #month = 0;

  add(cell: string): void {
    // Neither a year first nor words say anything of the order.
    if (cell.length > 24 || (cell.charCodeAt(4) === 45 && cell.length >= 7)) return;
    const m = NUMERIC.exec(cell);
    if (!m) return;
    if (Number(m[1]) > 12) this.#day++;
    else if (Number(m[3]) > 12) this.#month++;
  }

  order(): Order {
    if (this.#day > 0 === this.#month > 0) return 'open';
    return this.#day > 0 ? 'day first' : 'month first';
  }
}

export interface ReadDate {
  /** ISO 8601 where it is understood ("2024-09-30", "2024-09"), else as written. */
  readonly text: string;
  /** Day and month may stand in either order. */
  readonly open: boolean;
}

export function dateIn(cell: string, order: Order): ReadDate {
  const kept: ReadDate = { text: cell, open: false };
  const iso = ISO.exec(cell);
  // A time of day is of no use here; an interval ("2024-09-01/2024-09-30") stands as it is.
  if (iso) return iso[3] === undefined ? kept : (made(iso[1], iso[2], iso[3]) ?? kept);
  const m = NUMERIC.exec(cell);
  if (m) {
    const [first, second, year] = [Number(m[1]), Number(m[3]), century(m[4])];
    const dayFirst = first > 12 || (second <= 12 && order === 'day first');
    if (first <= 12 && second <= 12 && first !== second && order === 'open')
      return { text: cell, open: true };
    return (dayFirst ? made(year, second, first) : made(year, first, second)) ?? kept;
  }
  const named =
    /^(\d{1,2})(?:st|nd|rd|th)?[ .-]*([a-z]{3,9})\.?[ ,.-]*(\d{4})$/i.exec(cell) ??
    /^([a-z]{3,9})\.? *(\d{1,2})(?:st|nd|rd|th)?,? *(\d{4})$/i.exec(cell);
  if (named) {
    const wordFirst = /^[a-z]/i.test(named[1]);
    const month = monthOf(wordFirst ? named[1] : named[2]);
    return (month > 0 && made(named[3], month, wordFirst ? named[2] : named[1])) || kept;
  }
  const month = /^([a-z]{3,9})\.?,? *(\d{4})$/i.exec(cell);
  if (month && monthOf(month[1]) > 0)
    return { text: `${month[2]}-${String(monthOf(month[1])).padStart(2, '0')}`, open: false };
  return kept;
}

const FULL = 'january february march april may june july august september october november december'.split(
  ' ',
);

function monthOf(word: string): number {
  const plain = word.toLowerCase();
  const at = MONTHS.indexOf(plain.slice(0, 3));
  return at >= 0 && (FULL[at].startsWith(plain) || plain === 'sept') ? at + 1 : 0;
}

/** Two digits as POSIX has them: 69 to 99 are 1969 to 1999, 00 to 68 are 2000 to 2068. */
const century = (year: string): string =>
  year.length === 4 ? year : `${Number(year) >= 69 ? 19 : 20}${year}`;

function made(year: string, month: number | string, day: number | string): ReadDate | null {
  const [m, d] = [Number(month), Number(day)];
  const last = [31, isLeap(Number(year)) ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][m - 1] ?? 0;
  if (d < 1 || d > last) return null;
  return { text: `${year}-${String(m).padStart(2, '0')}-${String(d).padStart(2, '0')}`, open: false };
}

const isLeap = (y: number): boolean => (y % 4 === 0 && y % 100 !== 0) || y % 400 === 0;
