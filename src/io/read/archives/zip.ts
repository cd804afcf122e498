/**
 * Files of a zip, found by the directory at its end (zipDirectory.ts). A library unpacks the contents; their sizes and check
 * sums are held against what the directory states.
 */
import { Inflate, inflateSync } from 'fflate';
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Source } from '../../source.ts';
import { directory, endRecord, TAIL, type ZipEntry, type ZipLimit } from './zipDirectory.ts';

export type { ZipEntry } from './zipDirectory.ts';

export interface ZipFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

const LOCAL = 0x04034b50;

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
  fail('format', `${name}, ${path}`, 'is damaged (its check sum does not fit)', 'Get the file again.');

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

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
