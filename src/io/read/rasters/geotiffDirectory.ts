/** A look at a TIFF's directories before the library reads them: it trusts what they say, and a damaged one can loop or ask for all memory. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';

/** Bytes of one value by field type (TIFF 6.0 section 2, BigTIFF adds 16 to 18). */
const SIZES: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
};
/** More images than any real file has: pages, overviews and masks of them. */
const MOST_DIRECTORIES = 4096;
const MOST_ENTRIES = 4096;
/** Largest lists of where the tiles or strips are, and largest of all other tags: they are read at once. */
const MOST_LIST = 1 << 27;
const MOST_BYTES = 1 << 25;
/** Offsets and sizes of strips and tiles. */
const LISTS: ReadonlySet<number> = new Set([273, 279, 324, 325]);

/** Fails where a directory lies outside the file, comes twice, or holds a tag that does not fit into the file. */
export async function checkDirectories(source: Source): Promise<Result<null>> {
  const size = source.size ?? Infinity;
  const damaged = (what: string) =>
    fail('format', source.name, `is damaged or cut short (${what})`, 'Get the file again.');
  const view = async (offset: number, length: number): Promise<Result<DataView>> => {
    const bytes = await source.read(offset, length);
    if (!bytes.ok) return bytes;
    const { value } = bytes;
    return ok(new DataView(value.buffer, value.byteOffset, value.byteLength));
  };
  const head = await view(0, 16);
  if (!head.ok) return head;
  if (head.value.byteLength < 8) return damaged('the header is not whole');
  const little = head.value.getUint8(0) === 0x49;
  const big = head.value.getUint16(2, little) === 43;
  if (big && head.value.byteLength < 16) return damaged('the header is not whole');
  const number = (v: DataView, at: number): number =>
    big ? Number(v.getBigUint64(at, little)) : v.getUint32(at, little);
  const entryBytes = big ? 20 : 12;
  const countBytes = big ? 8 : 2;
  const seen = new Set<number>();
  let next = number(head.value, big ? 8 : 4);
  if (next === 0) return damaged('no directory');
  while (next !== 0) {
    if (seen.has(next)) return damaged('its directories go round in a circle');
    if (seen.size === MOST_DIRECTORIES) return damaged('more directories than can be true');
    if (next + countBytes > size) return damaged(`a directory at byte ${next}, beyond the end`);
    seen.add(next);
    const count = await view(next, countBytes);
    if (!count.ok) return count;
    if (count.value.byteLength < countBytes) return damaged(`a directory at byte ${next}, beyond the end`);
    const entries = big ? Number(count.value.getBigUint64(0, little)) : count.value.getUint16(0, little);
    if (entries === 0 || entries > MOST_ENTRIES) return damaged(`a directory of ${entries} tags`);
    const length = entries * entryBytes + (big ? 8 : 4);
    const body = await view(next + countBytes, length);
    if (!body.ok) return body;
    const v = body.value;
    if (v.byteLength < length) return damaged('a directory breaks off');
    for (let i = 0; i < entries; i++) {
      const at = i * entryBytes;
      const tag = v.getUint16(at, little);
      const type = v.getUint16(at + 2, little);
      const bytes = (SIZES[type] ?? NaN) * number(v, at + 4);
      if (Number.isNaN(bytes)) return damaged(`tag ${tag} of the unknown type ${type}`);
      const inside = bytes <= (big ? 8 : 4);
      const most = LISTS.has(tag) ? MOST_LIST : MOST_BYTES;
      if (!inside && (bytes > most || number(v, at + (big ? 12 : 8)) + bytes > size))
        return damaged(`tag ${tag} of ${bytes} bytes`);
    }
    next = number(v, entries * entryBytes);
  }
  return ok(null);
}
