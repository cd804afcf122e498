/** One sheet of a workbook (ECMA-376 part 1, 18.3): from its XML to a table of text, rows numbered as the spreadsheet shows them. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import { serialDate, type DateFormat } from './serialDate.ts';
import { ERROR, sheetRows, type Sheet } from './sheetRows.ts';
import { child, readXml, type XmlEvents, type XmlNode } from '../markup/xml.ts';

/** What the cells of all sheets refer to. */
export interface Book {
  readonly strings: readonly string[];
  /** How the cells of each style show a number; null: as a number. */
  readonly styles: ReadonlyArray<DateFormat | null>;
  readonly from1904: boolean;
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
  const rows = sheetRows(where);
  let root = '';
  let column = -1;
  const events: XmlEvents = {
    open(name, attribute, path) {
      if (path.length === 0) root = name;
      if (name === 'row') {
        const stated = Number(attribute('r') ?? NaN);
        rows.begin(
          Number.isInteger(stated) && stated > 0 ? stated : rows.line + 1,
          attribute('hidden') === '1',
        );
        column = -1;
      }
      if (name === 'mergeCell') rows.merged(attribute('ref') ?? '');
      return name === 'c';
    },
    element(node) {
      column = columnOf(node.attribute('r')) ?? column + 1;
      rows.put(
        column,
        cellText(node, book, (what) => rows.note(what, column)),
      );
    },
    trouble: () => rows.failure,
  };
  const read = await readXml(bytes, where, events, work);
  if (!read.ok) return read;
  if (root !== 'worksheet')
    return fail('format', where, `is no sheet of cells (but "${root}")`, 'Choose another sheet.');
  const { table, notes } = rows.sheet();
  return ok({ table, notes: [...read.value.notes, ...notes] });
}

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
