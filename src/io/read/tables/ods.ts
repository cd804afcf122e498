/** Spreadsheets of the OpenDocument format (ISO/IEC 26300, part 3): tables of content.xml, each a part, as text. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Source } from '../../source.ts';
import { columnLetters, ERROR, MOST_COLUMNS, sheetRows, type Sheet, type SheetRows } from './sheetRows.ts';
import type { Opened, ReadOptions } from '../types.ts';
import { archiveOf, emptySheets, noSuchSheet, tableOpened, withPassword } from './workbookParts.ts';
import { readXml, type XmlEvents, type XmlNode } from '../markup/xml.ts';
import type { ZipEntry } from '../archives/zip.ts';

export async function readOds(
  source: Source,
  entries: readonly ZipEntry[],
  options: ReadOptions,
): Promise<Result<Opened>> {
  const file = source.name;
  const archive = archiveOf(source, entries, options.work);
  // Without a password there is no such element (ISO/IEC 26300, part 2, 4.3).
  const locked = await archive('META-INF/manifest.xml', ['encryption-data']);
  if (!locked.ok) return locked;
  if ((locked.value.nodes ?? []).length > 0) return withPassword(file);
  const content = await archive('content.xml');
  if (!content.ok) return content;
  if (!content.value.bytes)
    return fail('format', file, 'is no workbook (it holds no content.xml)', 'Get the file again.');
  const { part } = options;
  const read = await readTables(content.value.bytes, file, part, options.work);
  if (!read.ok) return read;
  const { names, chosen } = read.value;
  const sheets = names.map((name) => ({ name, hidden: false }));
  if (part !== undefined && !names.includes(part)) return noSuchSheet(file, part, sheets);
  if (!chosen?.sheet.table) return emptySheets(file, part);
  return tableOpened(file, 'ODS', chosen.name, sheets, chosen.sheet.table, chosen.sheet.notes, part);
}

interface OpenDocument {
  readonly names: readonly string[];
  /** The one that was asked for, else the first with content; null where there is none. */
  readonly chosen: { readonly name: string; readonly sheet: Sheet } | null;
}

/** Where there are tables that are not sheets: the log of changes, and copies of cells of other files. */
const ELSEWHERE: ReadonlySet<string> = new Set(['tracked-changes', 'dde-links']);

/** @param bytes of content.xml. */
async function readTables(
  bytes: Uint8Array,
  file: string,
  wanted: string | undefined,
  work?: Work,
): Promise<Result<OpenDocument>> {
  const names: string[] = [];
  let chosen: { name: string; rows: SheetRows } | null = null;
  let rows: SheetRows | null = null;
  let line = 0;
  let repeated = 1;
  let column = 0;

  const events: XmlEvents = {
    open(name, attribute, path) {
      if (path.some((p) => ELSEWHERE.has(p))) return false;
      if (name === 'table') {
        const own = attribute('name') ?? '';
        rows = null;
        line = 0;
        // Cells of other files are kept in tables that are named by an address.
        if (/^'?(file|https?):/.test(own)) return false;
        names.push(own);
        const open = wanted === undefined ? !chosen?.rows.hasContent : !chosen && own === wanted;
        if (!open) return false;
        rows = sheetRows(`${file}, sheet "${own}"`);
        chosen = { name: own, rows };
      } else if (name === 'table-row' && rows) {
        repeated = times(attribute('number-rows-repeated'));
        column = 0;
        // "collapse" by hand, "filter" by a filter. Empty rows to the end of the sheet count as one.
        rows.begin(line + 1, (attribute('visibility') ?? 'visible') !== 'visible');
      }
      return rows !== null && (name === 'table-cell' || name === 'covered-table-cell');
    },
    element(node) {
      if (!rows) return;
      const here = rows;
      const again = times(node.attribute('number-columns-repeated'));
      const text = node.name === 'table-cell' ? cellText(node, (what) => here.note(what, column)) : '';
      if (text !== '') for (let i = 0; i < Math.min(again, MOST_COLUMNS + 1); i++) here.put(column + i, text);
      const [wide, high] = [
        times(node.attribute('number-columns-spanned')),
        times(node.attribute('number-rows-spanned')),
      ];
      if (wide > 1 || high > 1)
        here.merged(`${columnLetters(column)}${line + 1}:${columnLetters(column + wide - 1)}${line + high}`);
      column += again;
    },
    close(name) {
      if (name === 'table') rows = null;
      if (name !== 'table-row' || !rows) return;
      rows.repeat(repeated - 1);
      line += repeated;
    },
    trouble: () => rows?.failure ?? null,
  };
  const read = await readXml(bytes, file, events, work);
  if (!read.ok) return read;
  if (names.length === 0) return fail('content', file, 'holds no sheet with cells', 'Check the file.');
  // Set within the events.
  const found = chosen as { name: string; rows: SheetRows } | null;
  if (found?.rows.failure) return { ok: false, failure: found.rows.failure };
  const sheet = found?.rows.sheet();
  return ok({
    names,
    chosen:
      found && sheet
        ? { name: found.name, sheet: { ...sheet, notes: [...read.value.notes, ...sheet.notes] } }
        : null,
  });
}

/** A count of repetitions; what is no count is one. */
function times(text: string | null): number {
  const n = Number(text ?? 1);
  return Number.isInteger(n) && n > 0 ? n : 1;
}

/** The value that is stored, not the way in which it is shown; '' where there is none. */
function cellText(node: XmlNode, note: (what: string) => void): string {
  const value = node.attribute('value');
  const shown = paragraphs(node);
  switch (node.attribute('value-type')) {
    case 'float':
    case 'percentage':
    case 'currency': {
      const number = value === null || value.trim() === '' ? NaN : Number(value);
      return Number.isFinite(number) ? String(number) : (value ?? shown);
    }
    case 'date':
      return (node.attribute('date-value') ?? shown).replace(/T00:00:00(\.0+)?$/, '');
    case 'time':
      return clock(node.attribute('time-value') ?? '') ?? shown;
    case 'boolean':
      return node.attribute('boolean-value') === 'true' ? 'TRUE' : 'FALSE';
    case null:
      return '';
    default:
      if (node.attribute('formula') !== null && /^(#[A-Z/0!?]+|Err:\d+)$/.test(shown)) {
        note(ERROR);
        return '';
      }
      return node.attribute('string-value') ?? shown;
  }
}

/** "PT30H01M05S" to "30:01:05"; null where it is no such length of time. */
function clock(text: string): string | null {
  const match = /^PT(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)(?:[.,](\d+))?S)?$/.exec(text);
  if (!match || text === 'PT') return null;
  const [hours, minutes, seconds] = match.slice(1, 4).map((p) => (p ?? '0').padStart(2, '0'));
  const fraction = (match[4] ?? '').replace(/0+$/, '').slice(0, 3);
  return `${hours}:${minutes}:${seconds}${fraction ? `.${fraction.padEnd(3, '0')}` : ''}`;
}

/** Paragraphs of a cell as lines; notes and pictures on it are not its text. */
const paragraphs = (cell: XmlNode): string =>
  cell.children
    .filter((c) => c.name === 'p')
    .map(inline)
    .join('\n');

/** Text with its spans, in order. */
function inline(node: XmlNode): string {
  if (node.name === 's') return ' '.repeat(Math.min(times(node.attribute('c')), 1000));
  if (node.name === 'tab') return '\t';
  if (node.name === 'line-break') return '\n';
  if (node.name === 'annotation' || node.name === 'ruby-text') return '';
  let out = '';
  let at = 0;
  for (const part of node.children) {
    out += node.text.slice(at, part.at) + inline(part);
    at = part.at;
  }
  return out + node.text.slice(at);
}
