/** Where a picture file keeps its Exif block and its size: read by slices, the picture itself never. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { MOST_EXIF, MOST_STEPS, nameAt, viewOf, type PhotoFile, type Slices } from './photoBytes.ts';
import { heicExif } from './photoHeic.ts';

const WINDOW = 65_536;

export type PhotoKind = 'JPEG' | 'HEIC' | 'PNG' | 'WebP';

export function photoKind(head: Uint8Array): PhotoKind | null {
  const text = (from: number, length: number): string =>
    String.fromCharCode(...head.subarray(from, from + length));
  if (head[0] === 0xff && head[1] === 0xd8 && (head.length < 3 || head[2] === 0xff)) return 'JPEG';
  if (text(0, 8) === '\x89PNG\r\n\x1a\n' || (head[0] === 0x89 && text(1, 3) === 'PNG')) return 'PNG';
  if (text(0, 4) === 'RIFF' && text(8, 4) === 'WEBP') return 'WebP';
  // The brands of pictures in ISO/IEC 23008-12; films share the box.
  if (text(4, 4) === 'ftyp' && /^(hei[cxms]|hev[cxms]|mif[12]|msf1|avi[fs])/.test(text(8, 4))) return 'HEIC';
  return null;
}

export async function readPhotoFile(source: Source, kind: PhotoKind): Promise<Result<PhotoFile>> {
  const slices = windowed(source);
  if (kind === 'HEIC') return heicExif(slices, source.name);
  if (kind === 'PNG') return pngExif(slices);
  if (kind === 'WebP') return webpExif(slices);
  return jpegExif(slices, source.name);
}

/** Many small looks at one part of a file become one read. */
function windowed(source: Source): Slices {
  let start = 0;
  let held = new Uint8Array(0) as Uint8Array;
  return async (offset, length) => {
    if (offset < start || offset + length > start + held.length) {
      const read = await source.read(offset, Math.max(length, WINDOW));
      if (!read.ok) return read;
      [start, held] = [offset, read.value];
    }
    return ok(held.subarray(offset - start, offset - start + length));
  };
}

/** Segments up to the picture data (ITU-T T.81, annex B). */
async function jpegExif(slices: Slices, file: string): Promise<Result<PhotoFile>> {
  let exif: Uint8Array | null = null;
  let at = 2;
  for (let step = 0; step < MOST_STEPS; step++) {
    const head = await slices(at, 10);
    if (!head.ok) return head;
    const b = head.value;
    if (b.length < 4) return ok({ exif, width: null, height: null });
    const marker = b[1];
    if (b[0] !== 0xff)
      return exif
        ? ok({ exif, width: null, height: null })
        : fail('format', file, 'is a damaged picture (JPEG)', 'Copy it again from the camera or phone.');
    // A fill byte, and markers without a content.
    if (marker === 0xff || marker === 0x01 || (marker >= 0xd0 && marker <= 0xd7)) {
      at += marker === 0xff ? 1 : 2;
      continue;
    }
    // Picture data or the end.
    if (marker === 0xda || marker === 0xd9) break;
    const length = b[2] * 256 + b[3];
    if (length < 2) break;
    if (marker === 0xe1 && !exif && String.fromCharCode(...b.subarray(4, 10)) === 'Exif\0\0') {
      const block = await slices(at + 10, length - 8);
      if (!block.ok) return block;
      exif = block.value.slice();
    } else if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc) {
      if (b.length < 9) break;
      return ok({ exif, height: b[5] * 256 + b[6], width: b[7] * 256 + b[8] });
    }
    at += 2 + length;
  }
  return ok({ exif, width: null, height: null });
}

/** Chunks (PNG third edition, 5.3): the size comes first, "eXIf" before or after the picture data. */
async function pngExif(slices: Slices): Promise<Result<PhotoFile>> {
  const size: { width: number | null; height: number | null } = { width: null, height: null };
  let at = 8;
  for (let step = 0; step < MOST_STEPS; step++) {
    const head = await slices(at, 16);
    if (!head.ok) return head;
    if (head.value.length < 12) break;
    const view = viewOf(head.value);
    const type = nameAt(view, 4);
    const length = view.getUint32(0);
    if (type === 'IHDR' && head.value.length === 16)
      [size.width, size.height] = [view.getUint32(8), view.getUint32(12)];
    if (type === 'eXIf' && length <= MOST_EXIF) {
      const block = await slices(at + 8, length);
      return block.ok ? ok({ exif: block.value.slice(), ...size }) : block;
    }
    if (type === 'IEND') break;
    at += 12 + length;
  }
  return ok({ exif: null, ...size });
}

/** Chunks of an extended WebP file (RFC 9649, 2.7). */
async function webpExif(slices: Slices): Promise<Result<PhotoFile>> {
  const size: { width: number | null; height: number | null } = { width: null, height: null };
  let at = 12;
  for (let step = 0; step < MOST_STEPS; step++) {
    const head = await slices(at, 18);
    if (!head.ok) return head;
    const b = head.value;
    if (b.length < 8) break;
    const type = nameAt(viewOf(b), 0);
    const length = viewOf(b).getUint32(4, true);
    if (type === 'VP8X' && b.length === 18) {
      size.width = 1 + b[12] + b[13] * 256 + b[14] * 65_536;
      size.height = 1 + b[15] + b[16] * 256 + b[17] * 65_536;
    }
    if (type === 'EXIF' && length <= MOST_EXIF) {
      const block = await slices(at + 8, length);
      if (!block.ok) return block;
      // Some writers keep the mark that JPEG needs.
      const marked = nameAt(viewOf(block.value), 0) === 'Exif';
      return ok({ exif: block.value.slice(marked ? 6 : 0), ...size });
    }
    at += 8 + length + (length % 2);
  }
  return ok({ exif: null, ...size });
}
