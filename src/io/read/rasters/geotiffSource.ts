import type { GeoTIFF } from 'geotiff';
import type { Source } from '../../source.ts';
import { ReadTrouble } from './trouble.ts';

type LibrarySource = Parameters<typeof GeoTIFF.fromSource>[0];

interface Slice {
  readonly offset: number;
  readonly length: number;
}

/** Bytes kept from the start of the file: the directories of a cloud-optimized file are there, read in many small pieces. */
const HEAD = 65_536;

/**
 * Our Source with the face that the library expects. Slices are asked for at once; a Source by address joins them into
 * few requests.
 */
export function adapted(source: Source): LibrarySource {
  let head: Promise<Uint8Array> | null = null;
  const read = async (offset: number, length: number): Promise<Uint8Array> => {
    const bytes = await source.read(offset, length);
    if (!bytes.ok) throw new ReadTrouble(bytes.failure);
    return bytes.value;
  };
  const one = async ({ offset, length }: Slice): Promise<ArrayBuffer> => {
    if (offset + length <= HEAD) {
      head ??= read(0, HEAD);
      return own((await head).subarray(offset, offset + length), true);
    }
    return own(await read(offset, length), false);
  };
  return {
    fetch: (slices: Slice[]) => Promise.all(slices.map(one)),
    fetchSlice: async (slice: Slice) => ({ ...slice, data: await one(slice) }),
    get fileSize() {
      return source.size;
    },
    close: () => Promise.resolve(),
  };
}

/** The library works on whole buffers, and on this one in place: a view into something larger is copied out. */
function own(bytes: Uint8Array, shared: boolean): ArrayBuffer {
  const whole = bytes.byteOffset === 0 && bytes.byteLength === bytes.buffer.byteLength;
  if (whole && !shared && bytes.buffer instanceof ArrayBuffer) return bytes.buffer;
  return new Uint8Array(bytes).buffer;
}
