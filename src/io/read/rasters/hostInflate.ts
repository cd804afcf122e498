/** Less than this is unpacked sooner than the host's inflater is set up, bytes. */
const FEW = 16_384;

/**
 * Unpacks a zlib stream (RFC 1950), of which no more than `most` bytes are taken. null where it will not: it may be stricter
 * than TIFF needs (bytes behind the end, a checksum that is off), so the caller then asks the library.
 */
export type Inflate = (packed: Uint8Array, most: number) => Promise<Uint8Array | null>;

let inflate: Inflate = inflateStream;

/** The host's own way, where it has a better one than streams: Node unpacks beside the program. */
export function useInflate(better: Inflate): void {
  inflate = better;
}

/** Unpacked by the host, which is about three times as fast as JavaScript. */
export const hostInflate: Inflate = (packed, most) =>
  most < FEW ? Promise.resolve(null) : inflate(packed, most);

async function inflateStream(packed: Uint8Array, most: number): Promise<Uint8Array | null> {
  if (typeof DecompressionStream === 'undefined') return null;
  const stream = new DecompressionStream('deflate');
  const writer = stream.writable.getWriter();
  // What is wrong with the stream is heard from the reader.
  const heard = (): void => undefined;
  writer.write(packed as Uint8Array<ArrayBuffer>).catch(heard);
  writer.close().catch(heard);
  const reader = stream.readable.getReader();
  const out = new Uint8Array(most);
  let at = 0;
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return out.subarray(0, at);
      const piece = value.subarray(0, most - at);
      out.set(piece, at);
      at += piece.length;
      if (at === most && piece.length < value.length) {
        await reader.cancel();
        return out;
      }
    }
  } catch {
    // Refused: the caller's library says whether it is damaged.
    return null;
  }
}
