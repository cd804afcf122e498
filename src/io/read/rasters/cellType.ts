/** Number types of the cells of a GeoTIFF, and arrays of them. */
import type { GeoTIFFImage } from 'geotiff';
import type { Cells } from './blocks.ts';

export interface CellType {
  readonly kind: 'UInt' | 'Int' | 'Float';
  /** As stored in the file. */
  readonly bits: number;
  /** As held in memory. */
  readonly bytes: number;
}

const KINDS: Readonly<Record<number, CellType['kind']>> = { 1: 'UInt', 2: 'Int', 3: 'Float' };
/** Widths of cells that are read, by kind. Whole numbers of odd widths over 16 bits are not taken apart by the library. */
const WIDTHS: Readonly<Record<CellType['kind'], readonly number[]>> = {
  UInt: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 32],
  Int: [8, 16, 32],
  Float: [16, 32, 64],
};

/** Number type of the cells; null where it is one that is not read (complex, 64-bit whole numbers, mixed). */
export function cellType(image: GeoTIFFImage): CellType | null {
  const kind = KINDS[Number(image.getSampleFormat())];
  const bits = Number(image.getBitsPerSample()) || 1;
  for (let i = 1; i < image.getSamplesPerPixel(); i++)
    if (Number(image.getBitsPerSample(i)) !== bits || KINDS[Number(image.getSampleFormat(i))] !== kind)
      return null;
  if (!kind || !WIDTHS[kind].includes(bits)) return null;
  return { kind, bits, bytes: bits <= 8 ? 1 : bits <= 16 ? (kind === 'Float' ? 4 : 2) : bits / 8 };
}

export function typeName(image: GeoTIFFImage): string {
  const format = Number(image.getSampleFormat());
  const name = KINDS[format] ?? (format === 5 || format === 6 ? 'complex' : `format ${format}`);
  return `${name} ${Number(image.getBitsPerSample())}-bit`;
}

export function emptyCells({ kind, bytes }: CellType, n: number): Cells {
  if (kind === 'Float') return bytes === 8 ? new Float64Array(n) : new Float32Array(n);
  if (kind === 'Int')
    return bytes === 1 ? new Int8Array(n) : bytes === 2 ? new Int16Array(n) : new Int32Array(n);
  return bytes === 1 ? new Uint8Array(n) : bytes === 2 ? new Uint16Array(n) : new Uint32Array(n);
}

/** Cells over bytes in the machine's order. */
export function viewed({ kind, bytes }: CellType, data: ArrayBuffer): Cells {
  const n = Math.floor(data.byteLength / bytes);
  if (kind === 'Float') return bytes === 8 ? new Float64Array(data, 0, n) : new Float32Array(data, 0, n);
  if (kind === 'Int')
    return bytes === 1
      ? new Int8Array(data, 0, n)
      : bytes === 2
        ? new Int16Array(data, 0, n)
        : new Int32Array(data, 0, n);
  return bytes === 1
    ? new Uint8Array(data, 0, n)
    : bytes === 2
      ? new Uint16Array(data, 0, n)
      : new Uint32Array(data, 0, n);
}
