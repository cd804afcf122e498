import { inflate } from 'node:zlib';
import type { Inflate } from '../io/read/rasters/hostInflate.ts';

/** In one piece, in Node's own threads: the program goes on computing meanwhile. */
export const nodeInflate: Inflate = (packed, most) =>
  new Promise((resolve) => {
    // A piece that is filled to its end would be followed by another, empty one.
    inflate(packed, { chunkSize: Math.max(64, most + 1), maxOutputLength: most }, (error, out) =>
      resolve(error ? null : out),
    );
  });
