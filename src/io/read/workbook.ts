/**
 * Spreadsheet workbooks (Office Open XML, ECMA-376): a zip of XML files, of which only those of the wanted sheet are unpacked.
 * Each sheet is a part; its first row with content is the header.
 *
 * Read through our own door for XML, not by a library: the one at hand fills the whole rectangle of a sheet (a file of 5 kB
 * with one cell in its last corner ends the program), throws a workbook away for one odd cell, and tells no merged or error cells.
 */
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Source } from '../source.ts';
import { dateFormatOf, type DateFormat } from './serialDate.ts';
import { decodeText } from './text.ts';
import type { Format, Opened, ReadOptions } from './types.ts';
import { readSheet, richText, type Book } from './workbookSheet.ts';
import { MOST_XML, readXml, type XmlNode } from './xml.ts';
import { listZip, unpackEntry, type ZipEntry } from './zip.ts';

const LIMIT = { most: 2e9, todo: 'Save the sheet that you need as CSV.' };
const SAVE = 'Open it in a spreadsheet program, and save it as .xlsx or CSV.';
const OLE = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];

export const workbook: Format = {
  id: 'workbook',
  title: 'XLSX',
  extensions: ['xlsx', 'xlsm'],
  recognises(head, name) {
    if (OLE.every((b, i) => head[i] === b)) return true;
    if (head[0] !== 0x50 || head[1] !== 0x4b) return false;
    if (/\.(xlsx|xlsm|xltx|xltm|xlsb|ods)$/i.test(name)) return true;
    const first = firstName(head);
    return (
      /^(\[Content_Types\]\.xml|xl\/|_rels\/|docProps\/)/.test(first) || /opendocument/.test(latin1(head))
    );
  },
  async read(source, options) {
    const head = await source.read(0, 512);
    if (!head.ok) return head;
    if (OLE.every((b, i) => head.value[i] === b)) return oldOffice(source);
    const listed = await listZip(source, LIMIT);
    if (!listed.ok) return listed;
    const other = otherKind(listed.value, latin1(head.value), source.name);
    if (other) return other;
    return readBook(source, listed.value, options);
  },
};

interface SheetEntry {
  readonly name: string;
  readonly hidden: boolean;
  readonly path: string;
}

async function readBook(
  source: Source,
  entries: readonly ZipEntry[],
  options: ReadOptions,
): Promise<Result<Opened>> {
  const file = source.name;
  const archive = archiveOf(source, entries, options.work);
  const root = await relations(archive, '');
  if (!root.ok) return root;
  const main = root.value.find((r) => r.type === 'officeDocument')?.path ?? 'xl/workbook.xml';
  const [structure, links] = [await archive(main, ['workbookPr', 'sheet']), await relations(archive, main)];
  if (!structure.ok) return structure;
  if (!links.ok) return links;
  if (structure.value.nodes === null)
    return fail('format', file, `is no workbook (it holds no ${main})`, 'Get the file again.');
  const from1904 = /^(1|true)$/.test(
    structure.value.nodes.find((n) => n.name === 'workbookPr')?.attribute('date1904') ?? '',
  );
  const sheets: SheetEntry[] = [];
  for (const node of structure.value.nodes) {
    const link = links.value.find((r) => r.id === node.attribute('id') && r.type === 'worksheet');
    // Sheets of charts and macros have no cells.
    if (node.name !== 'sheet' || !link) continue;
    const state = node.attribute('state') ?? 'visible';
    sheets.push({ name: node.attribute('name') ?? '', hidden: state !== 'visible', path: link.path });
  }
  if (sheets.length === 0) return fail('content', file, 'holds no sheet with cells', 'Check the file.');
  const wanted = options.part;
  if (wanted !== undefined && !sheets.some((s) => s.name === wanted))
    return fail('content', file, `holds no sheet "${wanted}"`, `Choose one of: ${named(sheets)}.`);
  // Shared texts and styles are read once, after it is known that there is a sheet to read.
  const strings = await stringsOf(archive, links.value);
  if (!strings.ok) return strings;
  const styles = await stylesOf(archive, links.value);
  if (!styles.ok) return styles;
  const book: Book = { strings: strings.value, styles: styles.value, from1904 };
  const notes: Note[] = [];
  const candidates =
    wanted === undefined
      ? [...sheets.filter((s) => !s.hidden), ...sheets.filter((s) => s.hidden)]
      : sheets.filter((s) => s.name === wanted).slice(0, 1);
  for (const sheet of candidates) {
    const where = `${file}, sheet "${sheet.name}"`;
    const bytes = await archive(sheet.path);
    if (!bytes.ok) return bytes;
    if (bytes.value.bytes === null)
      return fail('format', where, 'is missing in the file', 'Get the file again.');
    const read = await readSheet(bytes.value.bytes, where, book, options.work);
    if (!read.ok) return read;
    const { table } = read.value;
    if (!table) continue;
    const others = sheets.filter((s) => s !== sheet);
    if (wanted === undefined && others.length > 0)
      notes.push({
        where: file,
        what: `the sheet "${sheet.name}" was read; the file also holds ${named(others)}`,
      });
    return ok({
      file,
      format: 'XLSX',
      content: { kind: 'table', table },
      crs: null,
      extent: null,
      count: table.n,
      notes: [...notes, ...read.value.notes],
      parts: sheets.map((s) => ({ name: s.name, kind: 'table', count: s === sheet ? table.n : null })),
      part: sheet.name,
    });
  }
  return fail(
    'content',
    wanted === undefined ? file : `${file}, sheet "${wanted}"`,
    wanted === undefined ? 'holds only empty sheets' : 'is empty',
    'Give a table with a header row.',
  );
}

const named = (sheets: readonly SheetEntry[]): string =>
  sheets
    .slice(0, 8)
    .map((s) => `"${s.name}"${s.hidden ? ' (hidden)' : ''}`)
    .join(', ') + (sheets.length > 8 ? ` and ${sheets.length - 8} more` : '');

interface Piece {
  /** Null where the archive holds no such file. */
  readonly bytes: Uint8Array | null;
  /** Elements that were asked for. */
  readonly nodes: readonly XmlNode[] | null;
}
type Archive = (path: string, names?: readonly string[]) => Promise<Result<Piece>>;

/** Unpacks one file of the archive, and reads the named elements of it where some are named. */
function archiveOf(source: Source, entries: readonly ZipEntry[], work: Work | undefined): Archive {
  // Some writers use other letter cases in paths than in the relations that name them.
  const byPath = new Map(entries.map((e) => [e.path.toLowerCase(), e]));
  return async (path, names) => {
    const entry = byPath.get(path.toLowerCase());
    if (!entry) return ok({ bytes: null, nodes: null });
    // Before memory is taken: the sizes are told in the list of the archive.
    const where = `${source.name}, ${entry.path}`;
    if (entry.size > MOST_XML)
      return fail(
        'content',
        where,
        `unpacks to ${Math.round(entry.size / 1e6)} MB; up to ${MOST_XML / 1e6} MB are read`,
        LIMIT.todo,
      );
    const bytes = await unpackEntry(source, entry, work);
    if (!bytes.ok) return bytes;
    if (!names) return ok({ bytes: bytes.value, nodes: null });
    const nodes: XmlNode[] = [];
    const read = await readXml(
      bytes.value,
      where,
      { open: (name) => names.includes(name), element: (node) => void nodes.push(node) },
      work,
    );
    return read.ok ? ok({ bytes: null, nodes }) : read;
  };
}

interface Relation {
  readonly id: string;
  /** Last word of the type ("worksheet"), the same in both editions of the standard. */
  readonly type: string;
  readonly path: string;
}

/** What a file of the archive refers to (ECMA-376 part 2, 9.3); '' for the archive itself. */
async function relations(archive: Archive, of: string): Promise<Result<Relation[]>> {
  const folder = of.slice(0, of.lastIndexOf('/') + 1);
  const read = await archive(`${folder}_rels/${of.slice(folder.length)}.rels`, ['Relationship']);
  if (!read.ok) return read;
  return ok(
    (read.value.nodes ?? []).map((node) => ({
      id: node.attribute('Id') ?? '',
      type: (node.attribute('Type') ?? '').split('/').at(-1) ?? '',
      path: pathOf(node.attribute('Target') ?? '', folder),
    })),
  );
}

function pathOf(target: string, folder: string): string {
  const parts: string[] = [];
  for (const part of (target.startsWith('/') ? target : folder + target).split('/')) {
    if (part === '..') parts.pop();
    else if (part !== '.' && part !== '') parts.push(part);
  }
  return parts.join('/');
}

async function stringsOf(archive: Archive, links: readonly Relation[]): Promise<Result<string[]>> {
  const link = links.find((r) => r.type === 'sharedStrings');
  if (!link) return ok([]);
  const read = await archive(link.path, ['si']);
  return read.ok ? ok((read.value.nodes ?? []).map(richText)) : read;
}

/** How each cell style shows numbers (ECMA-376 part 1, 18.8). */
async function stylesOf(
  archive: Archive,
  links: readonly Relation[],
): Promise<Result<(DateFormat | null)[]>> {
  const link = links.find((r) => r.type === 'styles');
  if (!link) return ok([]);
  const read = await archive(link.path, ['numFmt', 'cellXfs']);
  if (!read.ok) return read;
  const codes = new Map<number, string>();
  const styles: (DateFormat | null)[] = [];
  for (const node of read.value.nodes ?? []) {
    if (node.name === 'numFmt')
      codes.set(Number(node.attribute('numFmtId')), node.attribute('formatCode') ?? '');
    else
      for (const xf of node.children) {
        const id = Number(xf.attribute('numFmtId') ?? '0');
        styles.push(dateFormatOf(id, codes.get(id)));
      }
  }
  return ok(styles);
}

/** Archives that look alike and are not read. */
function otherKind(entries: readonly ZipEntry[], head: string, file: string): ReturnType<typeof fail> | null {
  const has = (pattern: RegExp): boolean => entries.some((e) => pattern.test(e.path));
  if (/opendocument\.spreadsheet/.test(head))
    return fail('format', file, 'is an OpenDocument spreadsheet (.ods), which is not read', SAVE);
  if (/opendocument/.test(head))
    return fail('format', file, 'is an OpenDocument file, but no spreadsheet', 'Give a spreadsheet.');
  if (has(/^xl\/workbook\.bin$/i))
    return fail('format', file, 'is a binary workbook (.xlsb), which is not read', SAVE);
  if (has(/^word\//i))
    return fail('format', file, 'is a text document, not a spreadsheet', 'Give a spreadsheet.');
  if (has(/^ppt\//i))
    return fail('format', file, 'is a presentation, not a spreadsheet', 'Give a spreadsheet.');
  if (has(/^\[Content_Types\]\.xml$/i) || has(/^xl\//i)) return null;
  return fail('format', file, 'is a zip, but not a workbook', 'If it is a zip of other files, name it .zip.');
}

/** Compound files (OLE2): old workbooks, and new ones with a password. Names in their directory are in UTF-16. */
async function oldOffice(source: Source): Promise<Result<never>> {
  const bytes = await source.read(0, 4_000_000);
  if (!bytes.ok) return bytes;
  const text = latin1(bytes.value);
  const holds = (name: string): boolean => text.includes([...name].join('\0'));
  if (holds('EncryptedPackage'))
    return fail(
      'format',
      source.name,
      'is locked with a password',
      'Open it in a spreadsheet program, and save it without a password.',
    );
  if (holds('WordDocument'))
    return fail('format', source.name, 'is a text document, not a spreadsheet', 'Give a spreadsheet.');
  return fail('format', source.name, 'is a workbook of the old kind (.xls), which is not read', SAVE);
}

const latin1 = (bytes: Uint8Array): string => {
  let out = '';
  for (let at = 0; at < bytes.length; at += 8192)
    out += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return out;
};

/** Name of the first file, from the first bytes of a zip. */
function firstName(head: Uint8Array): string {
  if (head.length < 30 || head[2] !== 3 || head[3] !== 4) return '';
  return decodeText(head.subarray(30, 30 + head[26] + 256 * head[27])).text;
}
