/** Cells of a table: text, numbers, or nothing. */
export type Cell = string | number | boolean | null;

/** What a spreadsheet takes for the start of a formula; the wide forms are what East Asian keyboards give. */
const FORMULA = /^[=+\-@\t\r\n＝＋－＠]/;

/**
 * A table as CSV (RFC 4180: CRLF, fields with a comma, quote or line break quoted, quotes doubled). A text that a spreadsheet
 * would run as a formula gets one leading apostrophe (OWASP, CSV injection); numbers are written plain and never get one.
 * What is not known (null, NaN, infinity) is an empty field.
 */
export function csv(columns: readonly string[], rows: ReadonlyArray<readonly Cell[]>): string {
  return [columns, ...rows].map(csvRow).join('');
}

/** One row of such a table, with its line break. */
export const csvRow = (row: readonly Cell[]): string => row.map(cell).join(',') + '\r\n';

function cell(value: Cell): string {
  if (value === null) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : '';
  if (typeof value === 'boolean') return value ? 'true' : 'false';
  const safe = FORMULA.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
