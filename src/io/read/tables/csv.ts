import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { TableStore } from '../../../domain/base/tableStore.ts';
import type { Table } from '../../../domain/base/table.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Source } from '../../source.ts';
import { columnNames, dialectOf, headerAt, titleNote } from './dialect.ts';
import { RowReader, LONGEST_ROW } from './rowReader.ts';
import { decodeText, encodingOf, insteadOfUtf8, PieceDecoder, type Encoding } from '../text.ts';
import type { Format } from '../types.ts';

const MOST_NOTED = 5;
/** Bytes read at once. */
const SLICE = 4_194_304;
/** Characters by which the dialect is told. */
const HEAD = 65_536;
/** Rows among which the header is looked for. */
const EARLY = 50;
/** Columns of the largest spreadsheets. */
const MOST_COLUMNS = 16_384;
/** Characters that are kept in memory at most. */
const MOST_TEXT = 1_200_000_000;

/** Tables of text: comma, semicolon, tab or bar; cells as written ("007" stays "007"); read slice by slice. */
export const csv: Format = {
  id: 'csv',
  title: 'CSV',
  extensions: ['csv', 'tsv', 'txt'],
  recognises(head, name) {
    if (!/\.(csv|tsv|tab|txt)$/i.test(name) || head.length === 0) return false;
    // An error page, or another file of markup, that was saved under the name of a table.
    if (/^\s*<(!doctype|html|\?xml|kml|gpx)/i.test(decodeText(head).text)) return false;
    return encodingOf(head) !== 'utf-8' || !head.includes(0);
  },
  async read(source, { work }) {
    const head = await source.read(0, 512);
    if (!head.ok) return head;
    const first = encodingOf(head.value);
    let read = await readAs(source, first, false, work ?? {});
    const notes: Note[] = [];
    if (read === null) {
      // Bytes that are not UTF-8 turned up: what they are is told by the slice they are in, and the file is read anew.
      const instead = await insteadOf(source);
      if (!instead.ok) return instead;
      notes.push({ where: source.name, what: instead.value.what });
      read = await readAs(source, instead.value.encoding, true, work ?? {});
    }
    if (read === null) throw new Error('a lossy decoder refused');
    if (!read.ok) return read;
    return ok({
      file: source.name,
      format: 'CSV',
      content: { kind: 'table', table: read.value.table },
      crs: null,
      extent: null,
      count: read.value.table.n,
      notes: [...notes, ...read.value.notes],
    });
  },
};

/** Bytes of the file, slice after slice; the last one is marked. */
async function* slices(
  source: Source,
): AsyncGenerator<Result<{ bytes: Uint8Array; done: number; last: boolean }>> {
  for (let at = 0; ;) {
    const part = await source.read(at, SLICE);
    if (!part.ok) {
      yield part;
      return;
    }
    at += part.value.length;
    const last = part.value.length < SLICE || (source.size !== null && at >= source.size);
    yield ok({ bytes: part.value, done: at, last });
    if (last) return;
  }
}

/** Finds the first slice that is not UTF-8, and what it is. */
async function insteadOf(source: Source): Promise<Result<ReturnType<typeof insteadOfUtf8>>> {
  const decoder = new PieceDecoder('utf-8');
  let latest: Uint8Array = new Uint8Array(0);
  for await (const slice of slices(source)) {
    if (!slice.ok) return slice;
    latest = slice.value.bytes;
    try {
      decoder.decode(latest, slice.value.last);
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      break;
    }
  }
  return ok(insteadOfUtf8(latest));
}

/** Null where the bytes are not in the encoding. */
async function readAs(
  source: Source,
  encoding: Encoding,
  lossy: boolean,
  work: Work,
): Promise<Result<{ table: Table; notes: readonly Note[] }> | null> {
  const decoder = new PieceDecoder(encoding, lossy);
  const builder = new Builder(source.name);
  let reader: RowReader | null = null;
  for await (const slice of slices(source)) {
    if (!slice.ok) return slice;
    const { bytes, done, last } = slice.value;
    work.progress?.(done, source.size ?? done, 'rows read');
    await work.pause?.();
    let text: string;
    try {
      text = decoder.decode(bytes, last);
    } catch (error) {
      if (!(error instanceof TypeError)) throw error;
      return null;
    }
    if (text.includes('\0'))
      return fail(
        'format',
        source.name,
        'is not a text table (it holds binary zeros)',
        'Export it again as CSV in UTF-8.',
      );
    if (!reader) {
      const dialect = dialectOf(text.slice(0, HEAD), last && text.length <= HEAD);
      reader = new RowReader(dialect, builder, dialect.skip > 0 ? 1 : 0);
      text = text.slice(dialect.skip);
    }
    if (!reader.push(text, last))
      return fail(
        'format',
        source.name,
        `has a row of more than ${LONGEST_ROW / 1e6} million characters: it is not a table with one row a line`,
        'Export it again as CSV.',
      );
    const trouble = builder.trouble;
    if (trouble) return trouble;
  }
  return builder.finish();
}

/** Takes rows as they come: finds the header among the first, evens out the rest, and keeps notes. */
class Builder {
  readonly #file: string;
  readonly #early: string[][] = [];
  readonly #earlyRecords: number[] = [];
  readonly #notes: Note[] = [];
  readonly #quotes: Note[] = [];
  #store: TableStore | null = null;
  #columns: readonly string[] = [];
  #ragged = 0;
  #moreQuotes = 0;
  #characters = 0;
  trouble: ReturnType<typeof fail> | null = null;

  constructor(file: string) {
    this.#file = file;
  }

  row(cells: string[], record: number): void {
    if (this.trouble) return;
    if (this.#store) {
      this.#add(this.#store, cells, record);
      return;
    }
    this.#early.push(cells);
    this.#earlyRecords.push(record);
    if (this.#early.length >= EARLY) this.#start();
  }

  quote(record: number, what: string): void {
    if (this.#quotes.length < MOST_NOTED) this.#quotes.push({ where: `${this.#file}, row ${record}`, what });
    else this.#moreQuotes++;
  }

  finish(): Result<{ table: Table; notes: readonly Note[] }> {
    if (!this.#store && !this.trouble) this.#start();
    if (this.trouble) return this.trouble;
    if (!this.#store) throw new Error('neither a table nor trouble');
    const more: Note[] = [];
    if (this.#moreQuotes > 0)
      more.push({ where: this.#file, what: `has ${this.#moreQuotes} more rows with bad quotation marks` });
    if (this.#ragged > MOST_NOTED)
      more.push({
        where: this.#file,
        what: `has ${this.#ragged - MOST_NOTED} more rows with too few or too many cells`,
      });
    return ok({ table: this.#store.table(), notes: [...this.#notes, ...this.#quotes, ...more] });
  }

  #start(): void {
    const at = headerAt(this.#early);
    const header = this.#early.at(at < 0 ? 0 : at);
    if (at < 0 || !header) {
      // Fifty empty rows are no end yet: the header may still come.
      if (this.#early.length >= EARLY) {
        this.#early.length = 0;
        this.#earlyRecords.length = 0;
        return;
      }
      this.trouble = fail('content', this.#file, 'is an empty table', 'Give a table with a header row.');
      return;
    }
    if (header.length > MOST_COLUMNS) {
      this.trouble = fail(
        'content',
        this.#file,
        `has ${header.length} columns, more than any spreadsheet (${MOST_COLUMNS})`,
        'Check what parts its cells, and export it again.',
      );
      return;
    }
    const { columns, notes } = columnNames(header, this.#file);
    this.#columns = columns;
    this.#notes.push(...titleNote(this.#early, at, this.#file), ...notes);
    const store = new TableStore(columns);
    this.#store = store;
    for (let i = at + 1; i < this.#early.length; i++) this.#add(store, this.#early[i], this.#earlyRecords[i]);
    this.#early.length = 0;
  }

  #add(store: TableStore, cells: string[], record: number): void {
    if (isEmpty(cells)) return;
    const wanted = this.#columns.length;
    if (cells.length !== wanted) {
      this.#ragged++;
      if (this.#ragged <= MOST_NOTED)
        this.#notes.push({
          where: `${this.#file}, row ${record}`,
          what: `has ${cells.length} cells where the header has ${wanted}`,
        });
      while (cells.length < wanted) cells.push('');
      cells.length = wanted;
    }
    for (const cell of cells) this.#characters += cell.length;
    if (this.#characters > MOST_TEXT) {
      this.trouble = fail(
        'content',
        this.#file,
        `holds more text than can be kept in memory (over ${MOST_TEXT / 1e6} million characters)`,
        'Split the file, or leave out columns that are not needed.',
      );
      return;
    }
    store.add(cells, record);
  }
}

function isEmpty(cells: readonly string[]): boolean {
  for (const cell of cells) if (cell !== '' && cell.trim() !== '') return false;
  return true;
}
