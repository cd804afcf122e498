import type { Compressors } from 'hyparquet';
import { PageTrouble } from './parquetPages.ts';
import { sizedFrame } from '../rasters/zstdFrame.ts';

/** A page of a Parquet file is some megabytes; the whole of one column of one group is not more than this. */
const MOST_PAGE = 512e6;
/** Bytes that may come out of one that goes in: pages of one repeated value are packed hard, but not without end. */
const MOST_RATIO = 20_000;

/** Unpackers of pages that take no more memory than a page can honestly need, and end on damaged ones. */
export async function unpackers(): Promise<Compressors> {
  const { compressors } = await import('hyparquet-compressors');
  const guarded = Object.entries(compressors).map(([codec, unpack]) => [
    codec,
    (input: Uint8Array, length: number): Uint8Array => {
      if (!(length >= 0 && length <= MOST_PAGE && length <= 4096 + input.length * MOST_RATIO))
        throw new PageTrouble(`a page states ${length} bytes`);
      if (length === 0) return new Uint8Array(0);
      const packed = codec === 'ZSTD' ? new Uint8Array(sizedFrame(input.slice().buffer, length)) : input;
      const out = unpack(packed, length);
      if (out.length !== length) throw new PageTrouble('a page holds more or less than it states');
      return out;
    },
  ]);
  return Object.fromEntries(guarded) as Compressors;
}
