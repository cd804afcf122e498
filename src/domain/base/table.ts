/**
 * A table of text: header, and cells as written ("007" stays "007"). Cells are asked for one by one, so that a table of a
 * million rows need not be a million arrays.
 */
export interface Table {
  readonly columns: readonly string[];
  /** Rows, the header not among them. */
  readonly n: number;
  /** The cell as written, '' where there is none. */
  cell(row: number, column: number): string;
  /** Number of the row as the user counts it in the file (the header of a CSV is row 1). */
  line(row: number): number;
}

/** A table over rows that are in memory already; short rows end in empty cells. Lines are counted from `first`. */
export function tableOf(
  columns: readonly string[],
  rows: ReadonlyArray<readonly string[]>,
  first = 2,
): Table {
  return {
    columns,
    n: rows.length,
    cell: (row, column) => rows[row]?.[column] ?? '',
    line: (row) => row + first,
  };
}

/** All rows as arrays: for small tables only. */
export const rowsOf = (table: Table): string[][] =>
  Array.from({ length: table.n }, (_, row) => table.columns.map((_name, column) => table.cell(row, column)));
