import type { GeoTIFF } from 'geotiff';
import type { Failure } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';

/** A Failure of the source on its way through the library, which knows exceptions only. */
export class ReadTrouble extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.what);
    this.name = 'ReadTrouble';
    this.failure = failure;
  }
}

type LibrarySource = Parameters<typeof GeoTIFF.fromSource>[0];

interface Slice {
  readonly offset: number;
  readonly length: number;
}

/** Our Source with the face that the library expects. Slices come one by one; a Source by address joins them into blocks. */
export function adapted(source: Source): LibrarySource {
  const one = async ({ offset, length }: Slice): Promise<ArrayBuffer> => {
    const bytes = await source.read(offset, length);
    if (!bytes.ok) throw new ReadTrouble(bytes.failure);
    // The library works on whole buffers.
    return bytes.value.slice().buffer;
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
