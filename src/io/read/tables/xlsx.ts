/** Workbooks of Office Open XML (ECMA-376): sheets, shared texts and styles, each a file of the archive. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { dateFormatOf, type DateFormat } from './serialDate.ts';
import type { Opened, ReadOptions } from '../types.ts';
import {
  archiveOf,
  emptySheets,
  noSuchSheet,
  tableOpened,
  type Archive,
  type Named,
} from './workbookParts.ts';
import { readSheet, richText, type Book } from './xlsxSheet.ts';
import type { ZipEntry } from '../archives/zip.ts';

interface SheetEntry extends Named {
  readonly path: string;
}

export async function readXlsx(
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
    return noSuchSheet(file, wanted, sheets);
  // Shared texts and styles are read once, after it is known that there is a sheet to read.
  const strings = await stringsOf(archive, links.value);
  if (!strings.ok) return strings;
  const styles = await stylesOf(archive, links.value);
  if (!styles.ok) return styles;
  const book: Book = { strings: strings.value, styles: styles.value, from1904 };
  const candidates =
    wanted === undefined
      ? [...sheets.filter((s) => !s.hidden), ...sheets.filter((s) => s.hidden)]
      : sheets.filter((s) => s.name === wanted).slice(0, 1);
  let bare: Result<Opened> | null = null;
  for (const sheet of candidates) {
    const where = `${file}, sheet "${sheet.name}"`;
    const bytes = await archive(sheet.path);
    if (!bytes.ok) return bytes;
    if (bytes.value.bytes === null)
      return fail('format', where, 'is missing in the file', 'Get the file again.');
    const read = await readSheet(bytes.value.bytes, where, book, options.work);
    if (!read.ok) return read;
    const { table, notes } = read.value;
    if (!table) continue;
    const opened = tableOpened(file, 'XLSX', sheet.name, sheets, table, notes, wanted);
    // A sheet with a header and nothing below it, often a page of remarks, is read only where there is no other.
    if (table.n > 0) return opened;
    bare ??= opened;
  }
  return bare ?? emptySheets(file, wanted);
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
