/**
 * Files of a zip (PKWARE APPNOTE 6.3, without encryption, parts or the 64-bit extension), read by the directory at its end.
 * A library unpacks the contents; the directory is read here for what the library does not look at: check sums, password
 * flags, and sizes before memory is taken.
 */
import { inflateSync } from 'fflate';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import { decodeText } from './text.ts';

export interface ZipFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

interface Entry {
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

/** @param most bytes that all files together may unpack to: a small file can state, and hold, far more than fits in memory. */
export function readZip(bytes: Uint8Array, name: string, most: number): Result<ZipFile[]> {
  const listed = directory(bytes, name);
  if (!listed.ok) return listed;
  // What Mac OS adds beside the files, and folders as such, hold nothing.
  const entries = listed.value.filter((e) => !/\/$|^__MACOSX\/|(^|\/)\.DS_Store$/.test(e.path));
  const refused = refusal(entries, name, most);
  if (refused) return refused;
  const files: ZipFile[] = [];
  for (const entry of entries) {
    const content = unpack(bytes, entry);
    if (!content || crc32(content) !== entry.check)
      return fail('format', `${name}, ${entry.path}`, 'is damaged (its check sum does not fit)', AGAIN);
    files.push({ path: entry.path, bytes: content });
  }
  return ok(files);
}

function directory(bytes: Uint8Array, name: string): Result<Entry[]> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let end = bytes.length - 22;
  // A comment of up to 65,535 bytes may follow the end record.
  const first = Math.max(0, end - 65_535);
  while (end >= first && view.getUint32(end, true) !== END) end--;
  if (end < first) {
    const begun = bytes.length >= 4 && view.getUint32(0, true) === LOCAL;
    return fail(
      'format',
      name,
      begun ? 'is a zip that is cut short' : 'is not a zip',
      begun ? AGAIN : 'A workspace file is a zip with plan.json in it.',
    );
  }
  const count = view.getUint16(end + 10, true);
  let at = view.getUint32(end + 16, true);
  if (count === 0xffff || at === 0xffffffff)
    return fail(
      'format',
      name,
      'is a zip of the 64-bit kind, which is not read',
      'Keep it under 4 GB and 65,535 files.',
    );
  const entries: Entry[] = [];
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== ENTRY)
      return fail('format', name, 'is a zip whose list of files is damaged', AGAIN);
    const nameLength = view.getUint16(at + 28, true);
    const next = at + 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    entries.push({
      path: decodeText(bytes.subarray(at + 46, at + 46 + nameLength)).text,
      locked: (view.getUint16(at + 8, true) & 1) === 1,
      method: view.getUint16(at + 10, true),
      check: view.getUint32(at + 16, true),
      packed: view.getUint32(at + 20, true),
      size: view.getUint32(at + 24, true),
      offset: view.getUint32(at + 42, true),
    });
    at = next;
  }
  return ok(entries);
}

/** What is wrong with the list itself, before anything is unpacked. */
function refusal(entries: readonly Entry[], name: string, most: number): ReturnType<typeof fail> | null {
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
      'Keep large rasters outside and name them by address in the plan.',
    );
  return null;
}

/** Null where the entry does not lie in the file or cannot be unpacked. Never takes more memory than the entry states. */
function unpack(bytes: Uint8Array, { offset, packed, size, method }: Entry): Uint8Array | null {
  if (offset + 30 > bytes.length) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset + offset, 30);
  if (view.getUint32(0, true) !== LOCAL) return null;
  const start = offset + 30 + view.getUint16(26, true) + view.getUint16(28, true);
  const content = bytes.subarray(start, start + packed);
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

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

/** The check sum of zip (ISO 3309; APPNOTE 4.4.7). */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 255] ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}
