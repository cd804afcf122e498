/** Rows of a text that comes in pieces, tokenized by Papa Parse; quotation marks that are not closed cannot swallow the rest. */
import Papa from 'papaparse';
import type { Dialect } from './dialect.ts';

/** Characters given to the tokenizer at once: a bad quotation mark costs no more than this. */
const PIECE = 65_536;
/** A quoted cell of more lines than this is a quotation mark that was never closed. */
const MOST_LINES = 1_000;
/** A cell of more lines than this is worth a word. */
const MANY_LINES = 50;
/** After this many bad quotation marks none is believed any more. */
const MOST_BAD = 1_000;
/** Spaces that may stand behind a closing mark. */
const LOOKED_BACK = 1_000;
/** A row of more characters than this is no row. */
export const LONGEST_ROW = 32_000_000;

export interface RowSink {
  /** @param record number of the row in the file, from 1; empty rows count. */
  row(cells: string[], record: number): void;
  /** Something is wrong with the quotation marks of a row. */
  quote(record: number, what: string): void;
}

interface Parsed {
  readonly data: string[][];
  readonly errors: ReadonlyArray<{ readonly row: number; readonly code: string }>;
  readonly meta: { readonly cursor: number };
}

export class RowReader {
  readonly #dialect: Dialect;
  readonly #sink: RowSink;
  #rest = '';
  #record: number;
  #bad = 0;
  #plain = false;

  /** @param before records of the file that came before the text. */
  constructor(dialect: Dialect, sink: RowSink, before = 0) {
    this.#dialect = dialect;
    this.#sink = sink;
    this.#record = before;
  }

  /** Reads on; false where a row grows beyond all bounds (a file without line breaks). */
  push(text: string, last: boolean): boolean {
    let at = 0;
    do {
      // A row that is longer than a piece is tried again with twice as much, so that the work stays in proportion.
      const size = Math.max(PIECE, this.#rest.length);
      const piece = text.slice(at, at + size);
      at += piece.length;
      this.#rest = this.#rest === '' ? piece : this.#rest + piece;
      this.#take(last && at >= text.length);
      if (this.#rest.length > LONGEST_ROW) return false;
    } while (at < text.length);
    return true;
  }

  #take(last: boolean): void {
    for (;;) {
      if (this.#rest === '') return;
      const out = this.#parse(this.#rest, !last);
      const wrong = out.errors.at(0)?.row ?? Infinity;
      if (wrong >= out.data.length) {
        const before = this.#rest;
        this.#emit(out.data, out.meta.cursor);
        // Nothing is left behind by the last pass.
        this.#rest = last ? '' : before.slice(out.meta.cursor);
        if (!last && this.#rest !== '' && this.#isUnclosed(wrong < Infinity)) {
          this.#literal();
          continue;
        }
        return;
      }
      // Good rows first; then the bad one, if it runs over several lines, by its first line alone.
      const start = wrong === 0 ? 0 : this.#parse(this.#rest, true, wrong).meta.cursor;
      if (wrong > 0) this.#emit(out.data.slice(0, wrong), start);
      this.#rest = this.#rest.slice(start);
      const one = this.#parse(this.#rest, false, 1);
      const end = one.data.length > 0 && one.meta.cursor > 0 ? one.meta.cursor : this.#rest.length;
      const open = out.errors[0].code === 'MissingQuotes';
      if (open || this.#rest.slice(0, end).trimEnd().includes(this.#dialect.newline)) this.#literal();
      else {
        this.#sink.quote(this.#record + 1, 'has quotation marks within a quoted cell; check its cells');
        this.#emit(one.data.slice(0, 1), end);
        this.#rest = this.#rest.slice(end);
      }
    }
  }

  #parse(text: string, ignoreLast: boolean, preview = 0): Parsed {
    const { delimiter, newline } = this.#dialect;
    const parser = new Papa.Parser({
      delimiter,
      newline,
      preview,
      ...(this.#plain ? { fastMode: true } : {}),
    });
    return parser.parse(text, 0, ignoreLast) as Parsed;
  }

  /** The unfinished row at hand goes on over more lines than a cell has, or over several with marks in wrong places. */
  #isUnclosed(wrong: boolean): boolean {
    if (!this.#rest.includes('"')) return false;
    // Of a mark at the very end nobody knows yet what follows it.
    const open = wrong && !this.#rest.slice(-LOOKED_BACK).trimEnd().endsWith('"');
    return linesIn(this.#rest, this.#dialect.newline) > (open ? 1 : MOST_LINES);
  }

  /** The first line as it stands, with no belief in its quotation marks. */
  #literal(): void {
    const { newline, delimiter } = this.#dialect;
    const found = this.#rest.indexOf(newline);
    const end = found < 0 ? this.#rest.length : found;
    const cells = this.#rest
      .slice(0, end)
      .split(delimiter)
      .map((c) => (/^".*"\r?$/.test(c) ? c.replace(/^"|"\r?$/g, '').replaceAll('""', '"') : c));
    this.#rest = this.#rest.slice(end + newline.length);
    this.#sink.quote(
      this.#record + 1,
      'has a quotation mark that is not closed; the row was read as it stands, up to the end of its line',
    );
    this.#one(cells);
    if (++this.#bad < MOST_BAD) return;
    this.#plain = true;
    this.#sink.quote(
      this.#record + 1,
      `and those after it were read with their quotation marks as they stand, since ${MOST_BAD} rows before have some that are not closed`,
    );
  }

  /** @param length characters of the rest that the rows were read from. */
  #emit(rows: readonly string[][], length: number): void {
    // Only where there are more line breaks than rows can a cell hold some.
    const text = this.#rest.slice(0, length);
    const look = text.includes('"') && linesIn(text, this.#dialect.newline) > rows.length;
    for (const row of rows) {
      if (look) {
        const lines = Math.max(...row.map((c) => linesIn(c, this.#dialect.newline)));
        if (lines > MANY_LINES)
          this.#sink.quote(
            this.#record + 1,
            `has a cell of ${lines + 1} lines; if that is not meant, a quotation mark is missing`,
          );
      }
      this.#one(row);
    }
  }

  #one(row: string[]): void {
    const last = row.length - 1;
    if (row[last].endsWith('\r')) row[last] = row[last].slice(0, -1);
    this.#record++;
    this.#sink.row(row, this.#record);
  }
}

function linesIn(text: string, newline: string): number {
  let n = 0;
  for (let at = text.indexOf(newline); at >= 0; at = text.indexOf(newline, at + 1)) n++;
  return n;
}
