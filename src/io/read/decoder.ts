import { getDecoder, type GeoTIFFImage, type Pool } from 'geotiff';

/** Unpacks one stored piece of an image. Throws where it is damaged. */
export type Decoder = Awaited<ReturnType<typeof getDecoder>>;

/**
 * The library's unpacking without the undoing of predictors, which is ours: it adds in the machine's order whatever the
 * file's is, and knows no 64-bit differences. Throws where the method of packing is not known.
 *
 * The library keeps the making of a decoder's parameters to itself, but hands them to a pool of workers: a read of no
 * cells with a stand-in for the pool gets them out.
 */
export async function decoderOf(image: GeoTIFFImage): Promise<Decoder> {
  const found: Promise<Decoder>[] = [];
  const pool = {
    bindParameters(...[method, parameters]: Parameters<typeof getDecoder>) {
      found.push(getDecoder(method, { ...parameters, predictor: 1 }));
      return { decode: () => Promise.reject(new Error('not meant to decode')) };
    },
  };
  await image.readRasters({ window: [0, 0, 0, 0], pool: pool as unknown as Pool });
  return found[0];
}
