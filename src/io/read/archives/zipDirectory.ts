/**
 * The directory of a zip (PKWARE APPNOTE 6.3.10, without encryption or parts). It is read here and not by the library that
 * unpacks, for what that does not look at: password flags, check sums, paths, and sizes before memory is taken.
 */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import { codePage } from '../vectors/codePages.ts';

/** A file as the directory of the zip states it. */
export interface ZipEntry {
  readonly path: string;
  readonly locked: boolean;
  readonly method: number;
  readonly check: number;
  readonly packed: number;
  readonly size: number;
  readonly offset: number;
}

/** Bytes that all files of a zip together may unpack to, and what to do with one that holds more. */
export interface ZipLimit {
  readonly most: number;
  readonly todo: string;
}

const END = 0x06054b50;
const END_64 = 0x06064b50;
const LOCATOR = 0x07064b50;
const ENTRY = 0x02014b50;
const LOCAL = 0x04034b50;
/** Number of the extra field with sizes of 64 bits. */
const LARGE = 0x0001;
const AGAIN = 'Get the file again.';

/** Bytes at the end in which the end record lies: it may be followed by a comment, and follow those of the 64-bit kind. */
export const TAIL = 22 + 65_535 + 76;
/** No honest file of this size is packed to so small a part: it is made to fill a computer's memory. */
const MOST_RATIO = 250;
const RATIO_MATTERS = 2e8;

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

export interface ZipEnd {
  /** Where the list of files begins, in the whole zip. */
  readonly at: number;
  readonly count: number;
  /** Where the end record begins, in the bytes that were looked through. */
  readonly end: number;
}

/** @param tail the end of the zip, which begins at byte `from` of it. */
export function endRecord(tail: Uint8Array, name: string, from = 0): Result<ZipEnd> {
  const view = viewOf(tail);
  let end = tail.length - 22;
  const first = Math.max(0, tail.length - TAIL);
  while (end >= first && view.getUint32(end, true) !== END) end--;
  if (end < first) {
    const begun = from > 0 || (tail.length >= 4 && view.getUint32(0, true) === LOCAL);
    return fail(
      'format',
      name,
      begun ? 'is a zip that is cut short' : 'is not a zip',
      begun ? AGAIN : 'A workspace file is a zip with plan.json in it.',
    );
  }
  const count = view.getUint16(end + 10, true);
  const at = view.getUint32(end + 16, true);
  if (count < 0xffff && at < 0xffffffff) return ok({ at, count, end });
  return (
    large(view, end, from) ?? fail('format', name, 'is a zip of the 64-bit kind whose end is damaged', AGAIN)
  );
}

/** The end of a zip of the 64-bit kind (APPNOTE 4.3.14 and 4.3.15), which stands before the ordinary one. */
function large(view: DataView, end: number, from: number): Result<ZipEnd> | null {
  const locator = end - 20;
  if (locator < 0 || view.getUint32(locator, true) !== LOCATOR) return null;
  const record = Number(view.getBigUint64(locator + 8, true)) - from;
  if (!(record >= 0 && record + 56 <= locator) || view.getUint32(record, true) !== END_64) return null;
  const count = Number(view.getBigUint64(record + 32, true));
  const at = Number(view.getBigUint64(record + 48, true));
  return ok({ at, count, end: record });
}

/** The files of the list, without folders and what Mac OS adds beside the files, which hold nothing. */
export function directory(
  list: Uint8Array,
  count: number,
  name: string,
  zipBytes: number,
  limit: ZipLimit,
): Result<ZipEntry[]> {
  const view = viewOf(list);
  const entries: ZipEntry[] = [];
  let at = 0;
  for (let i = 0; i < count; i++) {
    if (at + 46 > list.length || view.getUint32(at, true) !== ENTRY)
      return fail('format', name, 'is a zip whose list of files is damaged', AGAIN);
    const nameLength = view.getUint16(at + 28, true);
    const next = at + 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    entries.push({
      path: nameOf(list.subarray(at + 46, at + 46 + nameLength)),
      locked: (view.getUint16(at + 8, true) & 1) === 1,
      method: view.getUint16(at + 10, true),
      check: view.getUint32(at + 16, true),
      ...sizes(view, at, at + 46 + nameLength, next),
    });
    at = next;
  }
  const files = entries.filter((e) => !/\/$|^__MACOSX\/|(^|\/)\.DS_Store$/.test(e.path));
  return refusal(files, name, zipBytes, limit) ?? ok(files);
}

/** Sizes and place of an entry at `at`; those that do not fit into 32 bits are in a field of the extra bytes (APPNOTE 4.5.3). */
function sizes(
  view: DataView,
  at: number,
  extra: number,
  end: number,
): Pick<ZipEntry, 'packed' | 'size' | 'offset'> {
  const [size, packed, offset] = [24, 20, 42].map((k) => view.getUint32(at + k, true));
  const found = { size, packed, offset };
  for (let i = extra; i + 4 <= Math.min(end, view.byteLength);) {
    const next = i + 4 + view.getUint16(i + 2, true);
    if (view.getUint16(i, true) === LARGE) {
      let value = i + 4;
      for (const key of ['size', 'packed', 'offset'] as const) {
        if (found[key] !== 0xffffffff || value + 8 > Math.min(next, end, view.byteLength)) continue;
        found[key] = Number(view.getBigUint64(value, true));
        value += 8;
      }
    }
    i = next;
  }
  return found;
}

/** UTF-8 where it can be, else the code page of DOS (APPNOTE, appendix D). */
function nameOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    return codePage('437')?.decode(bytes) ?? '';
  }
}

/** What is wrong with the list itself, before anything is unpacked. */
function refusal(
  entries: readonly ZipEntry[],
  name: string,
  zipBytes: number,
  { most, todo }: ZipLimit,
): ReturnType<typeof fail> | null {
  const seen = new Set<string>();
  let total = 0;
  for (const { path, locked, method, size } of entries) {
    if (/^[\\/]|^[a-z]:|(^|[\\/])\.\.([\\/]|$)|\0/i.test(path))
      return fail('format', name, `names a path outside of itself ("${path}")`, 'Do not use this file.');
    if (seen.has(path)) return fail('format', name, `holds "${path}" twice`, 'Remove one of them.');
    seen.add(path);
    if (locked) return fail('format', name, 'is locked with a password', 'Save it again without a password.');
    if (method !== 0 && method !== 8)
      return fail(
        'format',
        `${name}, ${path}`,
        `is packed by a method that is not read (number ${method})`,
        'Pack it again as an ordinary zip.',
      );
    total += size;
  }
  if (total > most)
    return fail(
      'content',
      name,
      `unpacks to ${Math.round(total / 1e6).toLocaleString('en-US')} MB, more than ${(most / 1e6).toLocaleString('en-US')} MB`,
      todo,
    );
  // Files that share their packed bytes add to the sum without adding to the zip.
  if (total > RATIO_MATTERS && total > MOST_RATIO * zipBytes)
    return fail(
      'content',
      name,
      `unpacks to ${Math.round(total / zipBytes).toLocaleString('en-US')} times its size, as files do that are made to fill a computer's memory`,
      'Do not use this file.',
    );
  return null;
}
