/** One sheet of a workbook (ECMA-376 part 1, 18.3): from its XML to a table of text, rows numbered as the spreadsheet shows them. */
import { fail, ok, type Failure, type Note, type Result } from '../../domain/base/result.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Work } from '../../domain/base/work.ts';
import { serialDate, type DateFormat } from './serialDate.ts';
import { child, readXml, type XmlEvents, type XmlNode } from './xml.ts';

/** What the cells of all sheets refer to. */
export interface Book {
  readonly strings: readonly string[];
  /** How the cells of each style show a number; null: as a number. */
  readonly styles: ReadonlyArray<DateFormat | null>;
  readonly from1904: boolean;
}

const MOST_ROWS = 1_048_576;
const MOST_COLUMNS = 16_384;
/** Cells with content: more do not fit into memory as text. */
const MOST_CELLS = 30e6;

interface Row {
  readonly line: number;
  /** By place of the column in `columns` of the collector; holes are empty cells. */
  readonly cells: string[];
}

export interface Sheet {
  /** Null where the sheet is empty. */
  readonly table: Table | null;
  readonly notes: readonly Note[];
}

/**
 * @param where file and sheet, for notes and failures.
 */
export async function readSheet(
  bytes: Uint8Array,
  where: string,
  book: Book,
  work?: Work,
): Promise<Result<Sheet>> {
  const found = collector(where, book);
  const read = await readXml(bytes, where, found.events, work);
  if (!read.ok) return read;
  if (found.root() !== 'worksheet')
    return fail('format', where, `is no sheet of cells (but "${found.root()}")`, 'Choose another sheet.');
  const notes = [...read.value.notes];
  const [header, ...rows] = found.rows;
  if (!header) return ok({ table: null, notes });
  // In the order of the sheet; columns without any content do not occur.
  const order = [...found.columns.keys()].sort((a, b) => a - b);
  const places = order.map((column) => found.columns.get(column) ?? 0);
  const columns = order.map(
    (column, i) => header.cells[places[i]]?.trim() || `column ${columnLetters(column)}`,
  );
  const named = places.filter((p) => (header.cells[p] ?? '').trim() !== '').length;
  if (named * 2 < places.length && rows.length > 0)
    notes.push({
      where,
      what: `row ${header.line} was taken for the header, though it names only ${named} of ${places.length} columns; if it is a title, remove it`,
    });
  const table: Table = {
    columns,
    n: rows.length,
    cell: (row, column) => rows[row]?.cells[places[column]] ?? '',
    line: (row) => rows[row]?.line ?? 0,
  };
  return ok({ table, notes: [...notes, ...found.notes()] });
}

function collector(where: string, book: Book) {
  const rows: Row[] = [];
  /** Column of the sheet to its place in the cells of rows. */
  const columns = new Map<number, number>();
  const merged: string[] = [];
  // Kinds of trouble with the first cells that have it.
  const tally = new Map<string, { count: number; cells: string[] }>();
  let failure: Failure | null = null;
  let root = '';
  let line = 0;
  let column = -1;
  let hidden = 0;
  let cells = 0;
  let row: Row | null = null;

  const note = (what: string, cell: string): void => {
    const entry = tally.get(what) ?? { count: 0, cells: [] };
    entry.count++;
    if (entry.cells.length < 3) entry.cells.push(cell);
    tally.set(what, entry);
  };
  const refuse = (what: string): void => {
    failure ??= { code: 'content', where, what, todo: 'Save the part that you need as a sheet of its own.' };
  };

  const events: XmlEvents = {
    open(name, attribute, path) {
      if (path.length === 0) root = name;
      if (name === 'row') {
        const stated = Number(attribute('r') ?? NaN);
        line = Number.isInteger(stated) && stated > 0 ? stated : line + 1;
        if (line > MOST_ROWS) refuse(`has a row ${line}; sheets have ${MOST_ROWS} at most`);
        column = -1;
        row = { line, cells: [] };
        if (attribute('hidden') === '1') hidden++;
      }
      if (name === 'mergeCell') merged.push(attribute('ref') ?? '');
      return name === 'c';
    },
    element(node) {
      const stated = columnOf(node.attribute('r'));
      column = stated ?? column + 1;
      if (column >= MOST_COLUMNS)
        return refuse(`has a column ${column + 1}; sheets have ${MOST_COLUMNS} at most`);
      const text = cellText(node, book, (what) => note(what, `${columnLetters(column)}${line}`));
      if (text === '' || !row) return;
      if (row.cells.length === 0) rows.push(row);
      let place = columns.get(column);
      if (place === undefined) columns.set(column, (place = columns.size));
      row.cells[place] = text;
      if (++cells > MOST_CELLS) refuse(`has more than ${MOST_CELLS / 1e6} million cells with content`);
    },
    trouble: () => failure,
  };

  function notes(): Note[] {
    const out: Note[] = [];
    for (const [what, { count, cells: named }] of tally)
      out.push({
        where,
        what: `${what} (${named.join(', ')}${count > named.length ? ` and ${count - named.length} more` : ''})`,
      });
    if (merged.length > 0)
      out.push({
        where,
        what: `of merged cells, only the first has the content (${merged.slice(0, 3).join(', ')}${merged.length > 3 ? ` and ${merged.length - 3} more` : ''})`,
      });
    if (hidden > 0)
      out.push({ where, what: `${hidden} hidden ${hidden === 1 ? 'row was' : 'rows were'} read too` });
    return out;
  }
  return { events, rows, columns, notes, root: () => root };
}

const ERROR = 'error values were read as empty';
const NO_RESULT =
  'formulas without a stored result were read as empty; open the file in a spreadsheet program and save it';

/** The content of a cell as text: numbers by their shortest form, dates as ISO 8601, TRUE and FALSE, '' where there is none. */
function cellText(node: XmlNode, book: Book, note: (what: string) => void): string {
  const value = child(node, 'v')?.text ?? '';
  const type = node.attribute('t') ?? 'n';
  if (value === '' && type !== 'inlineStr') {
    if (child(node, 'f') && type !== 'str') note(NO_RESULT);
    return '';
  }
  switch (type) {
    case 's': {
      const text = book.strings.at(Number(value));
      if (text === undefined || !/^\d+$/.test(value))
        note('texts that the file does not hold were read as empty');
      return /^\d+$/.test(value) ? (text ?? '') : '';
    }
    case 'inlineStr': {
      const inline = child(node, 'is');
      return inline ? richText(inline) : '';
    }
    case 'str':
      return unescaped(value);
    case 'b':
      return value.trim() === '1' || value.trim() === 'true' ? 'TRUE' : 'FALSE';
    case 'e':
      note(ERROR);
      return '';
    case 'd':
      return value.trim().replace(/T00:00:00(\.0+)?Z?$/, '');
    default: {
      const number = value.trim() === '' ? NaN : Number(value);
      if (!Number.isFinite(number)) return value;
      const style = Number(node.attribute('s') ?? '0');
      const format = book.styles[style] ?? null;
      if (format) {
        const date = serialDate(number, format, book.from1904);
        if (date !== null) return date;
        note('numbers that are shown as dates and are none were read as numbers');
      }
      return String(number);
    }
  }
}

/** Text of a string with its runs of other fonts, without the reading aids of East Asian scripts. */
export function richText(node: XmlNode): string {
  let out = '';
  for (const part of node.children) {
    if (part.name === 't') out += part.text;
    else if (part.name === 'r') out += child(part, 't')?.text ?? '';
  }
  return unescaped(out);
}

/** Characters that XML cannot hold are written as "_x000D_" (ECMA-376 part 1, 22.9.2.19). */
const unescaped = (text: string): string =>
  text.includes('_x')
    ? text.replace(/_x([\da-f]{4})_/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)))
    : text;

/** "AB12" is column 27 (the first is 0); null where it is no such address. */
function columnOf(address: string | null): number | null {
  if (address === null) return null;
  let column = 0;
  let i = 0;
  for (; i < address.length; i++) {
    const letter = (address.charCodeAt(i) & 0xdf) - 64;
    if (letter < 1 || letter > 26) break;
    column = column * 26 + letter;
  }
  return i > 0 && i < 8 ? column - 1 : null;
}

export function columnLetters(column: number): string {
  let out = '';
  for (let n = column + 1; n > 0; n = Math.floor((n - 1) / 26))
    out = String.fromCharCode(65 + ((n - 1) % 26)) + out;
  return out;
}
