/** Which rows of a long table are drawn: those in view and a few around them. */
export interface Window {
  readonly first: number;
  /** One past the last. */
  readonly end: number;
  /** Heights of what is left out above and below, px. */
  readonly above: number;
  readonly below: number;
}

/** Height of a row of the ledger, px. */
export const ROW = 30;

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
export interface Sort {
  readonly title: string;
  readonly order: Order;
}

/** Rows that widths are taken from, and the most figures that a column is wide. */
const SAMPLED = 300;
const WIDEST = 44;

/** Running text is narrower than figures are; short texts may be all capitals. */
const SHORT = 14;
const TEXT = 0.88;

/**
 * Width of each column in widths of a figure (the unit "ch"): its title or its longest text among rows spread over the
 * whole table.
 */
export function widths(
  columns: ReadonlyArray<{ readonly title: string; readonly text: (row: number) => string }>,
  rows: readonly number[],
): number[] {
  const step = Math.max(1, Math.ceil(rows.length / SAMPLED));
  const sample = rows.filter((_, i) => i % step === 0);
  return columns.map((column) => {
    // Two more for the arrow of a sorted column.
    const longest = sample.reduce(
      (most, row) => Math.max(most, column.text(row).length),
      column.title.length + 2,
    );
    const figures = longest > SHORT ? Math.max(SHORT, TEXT * longest) : longest;
    return Math.min(WIDEST, Math.ceil(figures));
  });
}

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
