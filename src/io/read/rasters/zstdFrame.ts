/** Zstandard frames (RFC 8878, section 3.1.1.1) whose header does not say how long the content is, made to say so. */
const MAGIC = 0xfd2fb528;
/** Bytes of the content size field by the two highest bits of the descriptor; the first is one byte in a single segment. */
const SIZE_BYTES = [0, 2, 4, 8];
const DICTIONARY_BYTES = [0, 1, 2, 4];

/** Where the size of the content stands in the header, and how many bytes it takes; 0 where it is not given. */
function sizeField(packed: ArrayBuffer): { readonly at: number; readonly bytes: number } {
  const view = new DataView(packed);
  if (packed.byteLength < 9 || view.getUint32(0, true) !== MAGIC)
    throw new Error('a block is no Zstandard frame');
  const descriptor = view.getUint8(4);
  const single = (descriptor & 0x20) !== 0;
  const bytes = descriptor >> 6 === 0 && single ? 1 : SIZE_BYTES[descriptor >> 6];
  const at = 5 + (single ? 0 : 1) + DICTIONARY_BYTES[descriptor & 3];
  if (packed.byteLength < at + bytes) throw new Error('a block breaks off');
  return { at, bytes };
}

/** Bytes of the content as the header says; null where it does not. */
export function frameSize(packed: ArrayBuffer): number | null {
  const { at, bytes } = sizeField(packed);
  const view = new DataView(packed);
  if (bytes === 0) return null;
  if (bytes === 1) return view.getUint8(at);
  if (bytes === 2) return view.getUint16(at, true) + 256;
  return bytes === 4 ? view.getUint32(at, true) : Number(view.getBigUint64(at, true));
}

/**
 * The frame with the size of its content in the header. Without it the unpacker of the library goes by parts and never
 * ends on a damaged frame; with it, it unpacks at once into as many bytes and stops.
 * @param expected bytes that the content must have, under 2^32. Throws where the header says otherwise.
 */
export function sizedFrame(packed: ArrayBuffer, expected: number): ArrayBuffer {
  const { at } = sizeField(packed);
  const size = frameSize(packed);
  if (size === expected) return packed;
  if (size !== null) throw new Error(`a block says that it holds ${size} bytes instead of ${expected}`);
  const sized = new Uint8Array(packed.byteLength + 4);
  sized.set(new Uint8Array(packed, 0, at));
  sized[4] |= 0x80; // four bytes of content size follow
  new DataView(sized.buffer).setUint32(at, expected, true);
  sized.set(new Uint8Array(packed, at), at + 4);
  return sized.buffer;
}
