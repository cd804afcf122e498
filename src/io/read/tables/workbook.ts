/**
 * Spreadsheet workbooks (Office Open XML, ECMA-376, and OpenDocument): a zip of XML files, of which only those of the wanted sheet are unpacked.
 * Each sheet is a part; its first row with content is the header.
 *
 * Read through our own door for XML, not by a library: the one at hand fills the whole rectangle of a sheet (a file of 5 kB
 * with one cell in its last corner ends the program), throws a workbook away for one odd cell, and tells no merged or error cells.
 */
import { fail, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { readOds } from './ods.ts';
import type { Format } from '../types.ts';
import { withPassword } from './workbookParts.ts';
import { readXlsx } from './xlsx.ts';
import { listZip, type ZipEntry } from '../archives/zip.ts';
import { firstInZip } from '../archives/zipHead.ts';

const LIMIT = { most: 2e9, todo: 'Save the sheet that you need as CSV.' };
const SAVE = 'Open it in a spreadsheet program, and save it as .xlsx or CSV.';
const OLE = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];

export const workbook: Format = {
  id: 'workbook',
  title: 'XLSX, ODS',
  extensions: ['xlsx', 'xlsm', 'ods'],
  recognises(head, name) {
    if (OLE.every((b, i) => head[i] === b)) return true;
    if (head[0] !== 0x50 || head[1] !== 0x4b) return false;
    if (/\.(xlsx|xlsm|xltx|xltm|xlsb|ods)$/i.test(name)) return true;
    const first = firstInZip(head);
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
    const other = openDocumentHead(head.value)
      ? null
      : otherKind(listed.value, latin1(head.value), source.name);
    if (other) return other;
    return openDocumentHead(head.value)
      ? readOds(source, listed.value, options)
      : readXlsx(source, listed.value, options);
  },
};

const openDocumentHead = (head: Uint8Array): boolean => /opendocument\.spreadsheet/.test(latin1(head));

/** Archives that look alike and are not read. */
function otherKind(entries: readonly ZipEntry[], head: string, file: string): ReturnType<typeof fail> | null {
  const has = (pattern: RegExp): boolean => entries.some((e) => pattern.test(e.path));
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
  if (holds('EncryptedPackage')) return withPassword(source.name);
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
