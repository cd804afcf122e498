/** Which rows of a long table are drawn: those in view and a few around them. */
export interface Window {
  readonly first: number;
  /** One past the last. */
  readonly end: number;
  /** Heights of what is left out above and below, px. */
  readonly above: number;
  readonly below: number;
}

const SPARE = 8;

export function windowOf(rows: number, rowHeight: number, scrollTop: number, height: number): Window {
  const first = Math.max(0, Math.min(rows, Math.floor(scrollTop / rowHeight)) - SPARE);
  const end = Math.min(rows, Math.ceil((scrollTop + height) / rowHeight) + SPARE);
  return {
    first,
    end: Math.max(first, end),
    above: first * rowHeight,
    below: Math.max(0, rows - Math.max(first, end)) * rowHeight,
  };
}

/** The scroll position that brings a row into view with the least movement. */
export function scrollTo(row: number, rowHeight: number, scrollTop: number, height: number): number {
  const top = row * rowHeight;
  if (top < scrollTop) return top;
  if (top + rowHeight > scrollTop + height) return top + rowHeight - height;
  return scrollTop;
}

export type Order = 'up' | 'down';

/** T9 before T10. */
const TEXTS = new Intl.Collator('en', { numeric: true });

/** Rows of which one of the texts holds the words (lower case); all rows where there are no words. */
export function found(
  rows: readonly number[],
  texts: ReadonlyArray<(row: number) => string>,
  words: string,
): readonly number[] {
  if (words === '') return rows;
  return rows.filter((row) => texts.some((text) => text(row).toLowerCase().includes(words)));
}

/** Rows sorted by numbers or texts; what is not known comes last either way; equal ones keep their order. */
export function sorted(
  rows: readonly number[],
  key: (row: number) => number | string,
  order: Order,
): number[] {
  const sign = order === 'up' ? 1 : -1;
  const missing = (x: number | string): boolean => x === '' || (typeof x === 'number' && Number.isNaN(x));
  return rows
    .map((row, i) => ({ row, i, x: key(row) }))
    .sort((a, b) => {
      if (missing(a.x) || missing(b.x)) return Number(missing(a.x)) - Number(missing(b.x)) || a.i - b.i;
      const d =
        typeof a.x === 'number' && typeof b.x === 'number'
          ? a.x - b.x
          : TEXTS.compare(String(a.x), String(b.x));
      return sign * d || a.i - b.i;
    })
    .map((r) => r.row);
}
