/**
 * Dates of spreadsheets: a number of days that its format shows as a date or a time (ECMA-376 part 1, 18.17.4 and 18.8.30).
 * Written as ISO 8601 without a zone, since spreadsheets know none.
 */

/** What a number format shows: date, time of day, both, or a length of time; null for a number. */
export interface DateFormat {
  readonly date: boolean;
  readonly time: boolean;
  readonly elapsed: boolean;
}

const DATE: DateFormat = { date: true, time: false, elapsed: false };
const TIME: DateFormat = { date: false, time: true, elapsed: false };

/** Formats that are known by number alone; 27-36 and 50-58 are dates of East Asian versions. */
function builtIn(id: number): DateFormat | null {
  if ((id >= 14 && id <= 17) || (id >= 27 && id <= 31) || id === 36 || (id >= 50 && id <= 58)) return DATE;
  if ((id >= 18 && id <= 21) || (id >= 32 && id <= 35) || id === 45 || id === 47) return TIME;
  if (id === 22) return { date: true, time: true, elapsed: false };
  return id === 46 ? { date: false, time: true, elapsed: true } : null;
}

/** @param code of the number format; undefined where the file gives none, since it is built in. */
export function dateFormatOf(id: number, code: string | undefined): DateFormat | null {
  if (code === undefined) return builtIn(id);
  // The first section, for positive numbers, without quoted text, escaped signs, padding, colours, locales and conditions.
  const plain = code
    .replace(/"[^"]*"/g, '')
    .replace(/[\\_*]./g, '')
    .split(';')[0]
    .toLowerCase();
  const elapsed = /\[(h+|m+|s+)\]/.test(plain);
  const bare = plain.replace(/\[[^\]]*\]/g, '').replace(/am\/pm|a\/p/g, 'h');
  // Places for digits are those of a number, but for fractions of seconds.
  if (/general|[0#?@]/.test(bare.replace(/s\.0+/g, 's'))) return null;
  const time = elapsed || /[hs]/.test(bare);
  // "m" is minutes beside hours or seconds, else months.
  const date = /[yd]/.test(bare) || /mmm/.test(bare) || (/m/.test(bare) && !time);
  return date || time ? { date, time, elapsed: elapsed && !date } : null;
}

const DAY = 86_400_000;
/** Days from 1899-12-30, on which serial numbers of the 1900 system from 61 on count, to 1970-01-01. */
const EPOCH = 25_569;
/** The 1904 system begins so many days later. */
const LATER = 1462;
/** 9999-12-31, the last day that spreadsheets know. */
const LAST = 2_958_465;

/**
 * The date, time or both; null where the number is none (negative, after the year 9999).
 * Of a format that shows only a date, a time of day that is there is told too, so that nothing is lost.
 */
export function serialDate(serial: number, format: DateFormat, from1904: boolean): string | null {
  if (!(serial >= 0) || serial >= LAST + 1 - (from1904 ? LATER : 0)) return null;
  const ms = Math.round(serial * DAY);
  if (format.elapsed) {
    const hours = Math.floor(ms / 3_600_000);
    return `${String(hours).padStart(2, '0')}${clock(ms).slice(2)}`;
  }
  const days = Math.floor(ms / DAY) + (from1904 ? LATER : 0);
  const ofDay = ms % DAY;
  if (!format.date && ms < DAY) return clock(ofDay);
  // Day 0 of the 1900 system is no date: a time alone, or an empty cell that a formula counts as 0.
  if (!from1904 && days === 0) return format.time ? clock(ofDay) : null;
  // The 1900 system counts a 29 February 1900, which never was; days before it are off by one.
  if (!from1904 && days === 60) return `1900-02-29${ofDay > 0 ? `T${clock(ofDay)}` : ''}`;
  const real = days < 60 && !from1904 ? days + 1 : days;
  const date = new Date((real - EPOCH) * DAY).toISOString().slice(0, 10);
  return ofDay > 0 || format.time ? `${date}T${clock(ofDay)}` : date;
}

/** hh:mm:ss, with thousandths where there are some. */
function clock(ms: number): string {
  const text = new Date(ms % DAY).toISOString().slice(11, 23);
  return text.endsWith('.000') ? text.slice(0, 8) : text;
}
