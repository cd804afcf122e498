/** What the readers of picture files share. */
import type { Result } from '../../../domain/base/result.ts';

export interface PhotoFile {
  /** From the byte order mark of the TIFF structure on; null where there is none. */
  readonly exif: Uint8Array | null;
  /** Pixels as stored; null where the file does not get so far as to say. */
  readonly width: number | null;
  readonly height: number | null;
}

/** Bytes at a place, fewer at the end of the file. */
export type Slices = (offset: number, length: number) => Promise<Result<Uint8Array>>;

/** Exif blocks are under 64 kB in JPEG; larger ones elsewhere are no Exif. */
export const MOST_EXIF = 4_000_000;
/** Boxes, chunks or segments that are walked; real files have a few dozen. */
export const MOST_STEPS = 2000;

export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

/** Four letters; '' at the end of the bytes. */
export const nameAt = (view: DataView, at: number): string =>
  at + 4 > view.byteLength ? '' : String.fromCharCode(...[0, 1, 2, 3].map((i) => view.getUint8(at + i)));
