/** Packs bytes as a zlib stream (RFC 1950), off this thread. */
export type Deflate = (bytes: Uint8Array<ArrayBuffer>) => Promise<Uint8Array>;

let deflate: Deflate = async (bytes) => {
  const stream = new CompressionStream('deflate');
  const writer = stream.writable.getWriter();
  const [packed] = await Promise.all([
    new Response(stream.readable).arrayBuffer(),
    writer.write(bytes),
    writer.close(),
  ]);
  return new Uint8Array(packed);
};

/** The host's own way, where it has a better one than streams. */
export function useDeflate(better: Deflate): void {
  deflate = better;
}

export const hostDeflate: Deflate = (bytes) => deflate(bytes);
