import { getDecoder, type GeoTIFFImage, type Pool } from 'geotiff';
import { ZSTD } from './unpackers.ts';

type Decode = (packed: ArrayBufferLike) => Promise<ArrayBufferLike>;

/** The library's unpacking of one stored piece. Throws where it is damaged. */
export interface Unpacker {
  readonly decode: Decode;
  /** How LERC is packed once more; undone before `decode`. */
  readonly inside: 'deflate' | 'zstd' | null;
  readonly zstd: Decode;
}

/** Of the tag LercParameters (GDAL): version, then how it is packed once more. */
const INSIDE = [null, 'deflate', 'zstd'] as const;

/**
 * The library's unpacking without the undoing of predictors, which is ours: it adds in the machine's order whatever the
 * file's is, and knows no 64-bit differences. Throws where the method of packing is not known.
 *
 * The library keeps the making of a decoder's parameters to itself, but hands them to a pool of workers: a read of no
 * cells with a stand-in for the pool gets them out.
 */
export async function decoderOf(image: GeoTIFFImage): Promise<Unpacker> {
  const found: Array<Parameters<typeof getDecoder>> = [];
  const pool = {
    bindParameters(...asked: Parameters<typeof getDecoder>) {
      found.push(asked);
      return { decode: () => Promise.reject(new Error('not meant to decode')) };
    },
  };
  await image.readRasters({ window: [0, 0, 0, 0], pool: pool as unknown as Pool });
  const [[method, parameters]] = found;
  const lerc = (parameters as { readonly LercParameters?: ArrayLike<number> }).LercParameters;
  const plain = lerc ? { LercParameters: [lerc[0], 0] } : {};
  const decoder = await getDecoder(method, { ...parameters, ...plain, predictor: 1 });
  return {
    decode: async (packed) => decoder.decode(packed),
    inside: INSIDE[lerc?.[1] ?? 0] ?? null,
    zstd: async (packed) => (await getDecoder(ZSTD, { ...parameters, predictor: 1 })).decode(packed),
  };
}
