/** Cells of a sheet, as they are met, to a table of text: header, columns with content, rows numbered as the spreadsheet shows them. */
import type { Failure, Note } from '../../../domain/base/result.ts';
import type { Table } from '../../../domain/base/table.ts';
import { columnNames, headerAt } from './dialect.ts';

export const MOST_ROWS = 1_048_576;
export const MOST_COLUMNS = 16_384;
/** Cells with content: more do not fit into memory as text. */
const MOST_CELLS = 30e6;

/** Rows among which the header is looked for. */
const EARLY = 50;

/** What is said of cells, by any of the formats. */
export const ERROR = 'error values were read as empty';

interface Row {
  readonly line: number;
  /** By place of the column; holes are empty cells. */
  readonly cells: string[];
}

export interface Sheet {
  /** Null where the sheet is empty. */
  readonly table: Table | null;
  readonly notes: readonly Note[];
}

export interface SheetRows {
  /** A row begins; lines count from 1. */
  begin(line: number, hidden: boolean): void;
  /** A cell of the row at hand; columns count from 0, '' is no content. */
  put(column: number, text: string): void;
  /** The row at hand stands again so many times below itself. */
  repeat(times: number): void;
  /** Something about one cell of the row at hand. */
  note(what: string, column: number): void;
  merged(range: string): void;
  readonly line: number;
  readonly hasContent: boolean;
  /** Set when the sheet is larger than any. */
  readonly failure: Failure | null;
  sheet(): Sheet;
}

/** @param where file and sheet, for notes and failures. */
export function sheetRows(where: string): SheetRows {
  const rows: Row[] = [];
  /** Column of the sheet to its place in the cells of rows: columns without content take no room, wherever the others lie. */
  const places = new Map<number, number>();
  const ranges: string[] = [];
  // Kinds of trouble with the first cells that have it.
  const tally = new Map<string, { count: number; cells: string[] }>();
  let failure: Failure | null = null;
  let hidden = 0;
  let isHidden = false;
  let cells = 0;
  let row: Row = { line: 0, cells: [] };

  const refuse = (what: string): void => {
    failure ??= { code: 'content', where, what, todo: 'Save the part that you need as a sheet of its own.' };
  };
  const counted = (n: number): void => {
    cells += n;
    if (cells > MOST_CELLS) refuse(`has more than ${MOST_CELLS / 1e6} million cells with content`);
  };

  function begin(line: number, hiddenRow: boolean): void {
    if (line > MOST_ROWS) refuse(`has a row ${line}; sheets have ${MOST_ROWS} at most`);
    row = { line, cells: [] };
    isHidden = hiddenRow;
  }

  function put(column: number, text: string): void {
    if (text === '' || failure) return;
    if (column >= MOST_COLUMNS)
      return refuse(`has a column ${column + 1}; sheets have ${MOST_COLUMNS} at most`);
    if (row.cells.length === 0) {
      rows.push(row);
      if (isHidden) hidden++;
    }
    let place = places.get(column);
    if (place === undefined) places.set(column, (place = places.size));
    row.cells[place] = text;
    counted(1);
  }

  function repeat(times: number): void {
    const { line, cells: same } = row;
    if (same.length === 0) return;
    const width = Object.keys(same).length;
    for (let i = 1; i <= times && !failure; i++) {
      if (line + i > MOST_ROWS) return refuse(`has a row ${line + i}; sheets have ${MOST_ROWS} at most`);
      rows.push({ line: line + i, cells: same });
      if (isHidden) hidden++;
      counted(width);
    }
  }

  function note(what: string, column: number): void {
    const entry = tally.get(what) ?? { count: 0, cells: [] };
    entry.count++;
    if (entry.cells.length < 3) entry.cells.push(`${columnLetters(column)}${row.line}`);
    tally.set(what, entry);
  }

  function sheet(): Sheet {
    if (rows.length === 0) return { table: null, notes: [] };
    const order = [...places.keys()].sort((a, b) => a - b);
    const at = order.map((column) => places.get(column) ?? 0);
    const early = rows.slice(0, EARLY).map((r) => at.map((p) => r.cells[p] ?? ''));
    const head = Math.max(0, headerAt(early));
    const header = rows[head];
    const body = rows.slice(head + 1);
    const named = early[head].filter((c) => c.trim() !== '').length;
    const { columns, notes } = columnNames(
      early[head].map((c, i) => c.trim() || `column ${columnLetters(order[i])}`),
      where,
    );
    const say = (what: string): void => void notes.push({ where, what });
    if (head > 0) {
      const title = early[0].find((c) => c.trim() !== '')?.trim() ?? '';
      say(
        `the header was found in row ${header.line}; what stands above it ("${title.slice(0, 60)}"${head > 1 ? ' ...' : ''}) was skipped`,
      );
    }
    if (named * 2 < at.length && body.length > 0)
      say(
        `row ${header.line} was taken for the header, though it names only ${named} of ${at.length} columns; if it is a title, remove it`,
      );
    for (const [what, { count, cells: met }] of tally) say(`${what} (${someOf(met, count)})`);
    if (ranges.length > 0)
      say(`of merged cells, only the first has the content (${someOf(ranges.slice(0, 3), ranges.length)})`);
    if (hidden > 0) say(`${hidden} hidden ${hidden === 1 ? 'row was' : 'rows were'} read too`);
    const table: Table = {
      columns,
      n: body.length,
      cell: (r, column) => body[r]?.cells[at[column]] ?? '',
      line: (r) => body[r]?.line ?? 0,
    };
    return { table, notes };
  }

  return {
    begin,
    put,
    repeat,
    note,
    merged: (range) => void ranges.push(range),
    get line() {
      return row.line;
    },
    get hasContent() {
      return rows.length > 0;
    },
    get failure() {
      return failure;
    },
    sheet,
  };
}

const someOf = (named: readonly string[], count: number): string =>
  named.join(', ') + (count > named.length ? ` and ${count - named.length} more` : '');

/** 0 is A, 26 is AA. */
export function columnLetters(column: number): string {
  let out = '';
  for (let n = column + 1; n > 0; n = Math.floor((n - 1) / 26))
    out = String.fromCharCode(65 + ((n - 1) % 26)) + out;
  return out;
}
