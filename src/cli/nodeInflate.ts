import { inflate } from 'node:zlib';
import type { Inflate } from '../io/read/rasters/hostInflate.ts';

/** In one piece, in Node's own threads: the program goes on computing meanwhile. */
export const nodeInflate: Inflate = (packed, most) =>
  new Promise((resolve) => {
    inflate(packed, { chunkSize: Math.max(64, most), maxOutputLength: most }, (error, out) =>
      resolve(error ? null : out),
    );
  });
