/** PackBits (TIFF 6.0, section 9): runs of one byte, and stretches as they are. At most `most` bytes, fewer where the data end. */
export function unpackBits(packed: Uint8Array, most: number): Uint8Array {
  const out = new Uint8Array(most);
  let at = 0;
  for (let i = 0; i < packed.length && at < most;) {
    const n = packed[i++];
    if (n < 128) {
      const stretch = packed.subarray(i, i + Math.min(n + 1, most - at));
      out.set(stretch, at);
      at += stretch.length;
      i += n + 1;
    } else if (n > 128) {
      const end = Math.min(most, at + 257 - n);
      out.fill(packed[i++] ?? 0, at, end);
      at = end;
    }
  }
  return out.subarray(0, at);
}
