/**
 * Files of a zip (PKWARE APPNOTE 6.3, without encryption, parts or the 64-bit extension), read by the directory at its end.
 * A library unpacks the contents; the directory is read here for what the library does not look at: check sums, password
 * flags, and sizes before memory is taken.
 */
import { Inflate, inflateSync } from 'fflate';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Source } from '../source.ts';
import { codePage } from './codePages.ts';

export interface ZipFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

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

const END = 0x06054b50;
const ENTRY = 0x02014b50;
const LOCAL = 0x04034b50;
const AGAIN = 'Get the file again.';

/** Bytes that all files of a zip together may unpack to, and what to do with one that holds more. */
export interface ZipLimit {
  readonly most: number;
  readonly todo: string;
}

/** Bytes at the end in which the end record lies: it may be followed by a comment. */
const TAIL = 22 + 65_535;
/** No honest file of this size is packed to so small a part: it is made to fill a computer's memory. */
const MOST_RATIO = 250;
const RATIO_MATTERS = 2e8;

/** @param most bytes that all files together may unpack to: a small file can state, and hold, far more than fits in memory. */
export function readZip(bytes: Uint8Array, name: string, most: number): Result<ZipFile[]> {
  const end = endRecord(bytes, name);
  if (!end.ok) return end;
  const { at, count } = end.value;
  const limit = { most, todo: 'Keep large rasters outside and name them by address in the plan.' };
  const entries = directory(bytes.subarray(at, end.value.end), count, name, bytes.length, limit);
  if (!entries.ok) return entries;
  const files: ZipFile[] = [];
  for (const entry of entries.value) {
    const content = unpack(bytes, entry);
    if (!content || crc32(content) !== entry.check) return damaged(name, entry);
    files.push({ path: entry.path, bytes: content });
  }
  return ok(files);
}

/** The list of files, read by slices: what is in them is not looked at. */
export async function listZip(source: Source, limit: ZipLimit): Promise<Result<ZipEntry[]>> {
  if (source.size === null) {
    const bytes = await source.readAll();
    if (!bytes.ok) return bytes;
    const end = endRecord(bytes.value, source.name);
    if (!end.ok) return end;
    const { at, count } = end.value;
    return directory(bytes.value.subarray(at, end.value.end), count, source.name, bytes.value.length, limit);
  }
  const from = Math.max(0, source.size - TAIL);
  const tail = await source.read(from, source.size - from);
  if (!tail.ok) return tail;
  const end = endRecord(tail.value, source.name, from);
  if (!end.ok) return end;
  const { at, count } = end.value;
  const list = await source.read(at, Math.max(0, from + end.value.end - at));
  return list.ok ? directory(list.value, count, source.name, source.size, limit) : list;
}

const PIECE = 1 << 20;

/**
 * One file of the list, with progress. Never takes more memory than the entry states.
 * @param first bytes that are enough: a look at the beginning, without a check of the sum.
 */
export async function unpackEntry(
  source: Source,
  entry: ZipEntry,
  work?: Work,
  first: number = Infinity,
): Promise<Result<Uint8Array>> {
  const head = await source.read(entry.offset, 30);
  if (!head.ok) return head;
  const start = head.value.length === 30 ? contentStart(viewOf(head.value)) : null;
  if (start === null) return damaged(source.name, entry);
  const size = Math.min(entry.size, first);
  if (entry.method === 0) {
    const content = await source.read(entry.offset + start, size);
    if (!content.ok) return content;
    const whole = content.value.length === size && entry.packed === entry.size;
    if (!whole || (size === entry.size && crc32(content.value) !== entry.check))
      return damaged(source.name, entry);
    return content;
  }
  const out = new Uint8Array(size);
  let filled = 0;
  let sum = 0;
  let over = false;
  const inflate = new Inflate((chunk) => {
    const room = out.length - filled;
    if (chunk.length > room) over = true;
    out.set(chunk.subarray(0, room), filled);
    sum = crc32(chunk, sum);
    filled += Math.min(chunk.length, room);
  });
  for (let at = 0; at < entry.packed && (filled < size || size === entry.size) && !over; at += PIECE) {
    const length = Math.min(PIECE, entry.packed - at);
    const piece = await source.read(entry.offset + start + at, length);
    if (!piece.ok) return piece;
    if (piece.value.length !== length) return damaged(source.name, entry);
    try {
      inflate.push(piece.value, at + length >= entry.packed);
    } catch (error) {
      // The library throws errors of its own for a damaged stream.
      if (error instanceof Error) return damaged(source.name, entry);
      throw error;
    }
    if (entry.packed > PIECE) {
      work?.progress?.(filled, entry.size, 'bytes unpacked');
      await work?.pause?.();
    }
  }
  if (size < entry.size) return filled === size ? ok(out) : damaged(source.name, entry);
  return filled === size && !over && sum === entry.check ? ok(out) : damaged(source.name, entry);
}

const damaged = (name: string, { path }: ZipEntry): ReturnType<typeof fail> =>
  fail('format', `${name}, ${path}`, 'is damaged (its check sum does not fit)', AGAIN);

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

interface End {
  /** Where the list of files begins, in the whole zip. */
  readonly at: number;
  readonly count: number;
  /** Where the end record begins, in the bytes that were looked through. */
  readonly end: number;
}

/** @param tail the end of the zip, which begins at byte `from` of it. */
function endRecord(tail: Uint8Array, name: string, from = 0): Result<End> {
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
  if (count === 0xffff || at === 0xffffffff)
    return fail(
      'format',
      name,
      'is a zip of the 64-bit kind, which is not read',
      'Keep it under 4 GB and 65,535 files.',
    );
  return ok({ at, count, end });
}

/** The files of the list, without folders and what Mac OS adds beside the files, which hold nothing. */
function directory(
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
      packed: view.getUint32(at + 20, true),
      size: view.getUint32(at + 24, true),
      offset: view.getUint32(at + 42, true),
    });
    at = next;
  }
  const files = entries.filter((e) => !/\/$|^__MACOSX\/|(^|\/)\.DS_Store$/.test(e.path));
  return refusal(files, name, zipBytes, limit) ?? ok(files);
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

/** Null where the entry does not lie in the file or cannot be unpacked. Never takes more memory than the entry states. */
function unpack(bytes: Uint8Array, { offset, packed, size, method }: ZipEntry): Uint8Array | null {
  if (offset + 30 > bytes.length) return null;
  const start = contentStart(new DataView(bytes.buffer, bytes.byteOffset + offset, 30));
  if (start === null) return null;
  const content = bytes.subarray(offset + start, offset + start + packed);
  if (content.length !== packed) return null;
  if (method === 0) return packed === size ? content.slice() : null;
  // An empty file needs no room, and the library takes an empty one for none given.
  if (size === 0) return new Uint8Array(0);
  try {
    const out = inflateSync(content, { out: new Uint8Array(size) });
    return out.length === size ? out : null;
  } catch (error) {
    // The library throws errors of its own for a damaged stream, and RangeError where it holds more than it states.
    if (error instanceof Error) return null;
    throw error;
  }
}

/** Where the content begins behind the header that stands before it; null where there is no such header. */
function contentStart(header: DataView): number | null {
  if (header.getUint32(0, true) !== LOCAL) return null;
  return 30 + header.getUint16(26, true) + header.getUint16(28, true);
}

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** The check sum of zip (ISO 3309; APPNOTE 4.4.7); `before` is that of the bytes before these. */
export function crc32(bytes: Uint8Array, before = 0): number {
  let c = ~before >>> 0;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 255] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}
