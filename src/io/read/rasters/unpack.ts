/** The unpacking of one stored tile or strip, which never takes more memory than the piece may hold. */
import { unzlibSync } from 'fflate';
import type { Unpacker } from './decoder.ts';
import { hostInflate } from './hostInflate.ts';
import { unpackLzw } from './lzw.ts';
import { unpackBits } from './packBits.ts';
import { LERC, ZSTD } from './unpackers.ts';
import { frameSize, sizedFrame } from './zstdFrame.ts';

/** TIFF compression codes. */
const LZW = 5;
const JPEG = 7;
const DEFLATE = [8, 32946];
const PACK_BITS = 32773;

export interface Piece {
  readonly method: number;
  /** Bytes that it holds, and that one of full height would. */
  readonly bytes: number;
  readonly most: number;
  readonly width: number;
  readonly height: number;
}

/** Throws where the piece is damaged. */
export async function unpack(packed: ArrayBuffer, piece: Piece, library: Unpacker): Promise<ArrayBufferLike> {
  const { method, bytes, most } = piece;
  const all = new Uint8Array(packed);
  if (method === LZW) return whole(unpackLzw(all, most));
  if (method === PACK_BITS) return whole(unpackBits(all, most));
  if (DEFLATE.includes(method)) return whole(await inflated(all, most));
  if (method === ZSTD) return library.decode(sizedFrame(packed, bytes));
  if (method === JPEG) checkJpeg(all, piece);
  if (method === LERC) {
    // Packed once more, as the directory says; a blob is at most the cells, a mask and its header.
    const room = 2 * most + 65_536;
    const blob =
      library.inside === 'deflate'
        ? whole(await inflated(all, room))
        : library.inside === 'zstd'
          ? await library.zstd(sizedFrame(packed, within(frameSize(packed), room)))
          : packed;
    checkLerc(blob, piece);
    return library.decode(blob);
  }
  return library.decode(packed);
}

/** fflate writes no further than `most`, though it goes on to the end of what is packed. */
const inflated = async (packed: Uint8Array, most: number): Promise<Uint8Array> =>
  (await hostInflate(packed, most)) ?? unzlibSync(packed, { out: new Uint8Array(most) });

function within(size: number | null, most: number): number {
  if (size === null || size > most) throw new Error('a block does not say how much it holds, or too much');
  return size;
}

/** The bytes as a buffer of their own. */
const whole = (bytes: Uint8Array): ArrayBufferLike =>
  bytes.byteLength === bytes.buffer.byteLength ? bytes.buffer : bytes.slice().buffer;

/** The picture's own header (ITU-T T.81, B.2.2) must say the size of the piece: unpacking asks for memory by it. */
function checkJpeg(packed: Uint8Array, { width, height }: Piece): void {
  for (let at = 2; at + 9 < packed.length;) {
    if (packed[at] !== 0xff) throw new Error('a block is no JPEG');
    const marker = packed[at + 1];
    const frame = marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
    if (frame) {
      const tall = packed[at + 5] * 256 + packed[at + 6];
      const wide = packed[at + 7] * 256 + packed[at + 8];
      if (wide > width || tall > height) throw new Error(`a block of ${wide} x ${tall} cells`);
      return;
    }
    at += 2 + packed[at + 2] * 256 + packed[at + 3];
  }
  throw new Error('a block is no JPEG');
}

/** Header of the second version of LERC: name, version, checksum from version 3 on, rows, columns. */
function checkLerc(blob: ArrayBufferLike, { width, height }: Piece): void {
  const view = new DataView(blob);
  const name = String.fromCharCode(...new Uint8Array(blob, 0, Math.min(6, blob.byteLength)));
  if (name !== 'Lerc2 ' || blob.byteLength < 26) throw new Error('a block is no LERC of version 2');
  const at = view.getInt32(6, true) >= 3 ? 14 : 10;
  const tall = view.getInt32(at, true);
  const wide = view.getInt32(at + 4, true);
  if (wide !== width || tall > height || tall < 1) throw new Error(`a block of ${wide} x ${tall} cells`);
}
