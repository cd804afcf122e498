/**
 * The few facts of a photo that Exif (CIPA DC-008, version 2.32) tells of place and time. Exif is a TIFF structure without a
 * picture: each value is looked at only where it lies in the bytes, and a damaged one costs no other.
 */

/** Tags by directory: number to name. */
const IFD0 = { 0x0132: 'DateTime', 0x8769: 'ExifPointer', 0x8825: 'GpsPointer' } as const;
const EXIF = {
  0x9003: 'DateTimeOriginal',
  0x9004: 'DateTimeDigitized',
  0x9010: 'OffsetTime',
  0x9011: 'OffsetTimeOriginal',
  0x9012: 'OffsetTimeDigitized',
} as const;
const GPS = {
  0x01: 'LatitudeRef',
  0x02: 'Latitude',
  0x03: 'LongitudeRef',
  0x04: 'Longitude',
  0x05: 'AltitudeRef',
  0x06: 'Altitude',
  0x07: 'TimeStamp',
  0x09: 'Status',
  0x10: 'ImgDirectionRef',
  0x11: 'ImgDirection',
  0x12: 'MapDatum',
  0x1d: 'DateStamp',
  0x1f: 'HPositioningError',
} as const;

type Name =
  (typeof IFD0)[keyof typeof IFD0] | (typeof EXIF)[keyof typeof EXIF] | (typeof GPS)[keyof typeof GPS];

/** Texts as text, numbers as a list (0/0 is not a number); what is not there is absent. */
export type Exif = ReadonlyMap<Name, string | readonly number[]>;

/** Bytes of one value by type (TIFF 6.0, section 2). */
const SIZES = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8];
/** No value that is read here has more parts; texts have more letters. */
const MOST_VALUES = 16;
const MOST_TEXT = 256;
const MOST_ENTRIES = 1000;

/** @param bytes from the byte order mark on. Null: no such structure. */
export function readExif(bytes: Uint8Array): Exif | null {
  if (bytes.length < 8) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const order = view.getUint16(0);
  if (order !== 0x4949 && order !== 0x4d4d) return null;
  const little = order === 0x4949;
  if (view.getUint16(2, little) !== 42) return null;
  const found = new Map<Name, string | readonly number[]>();
  directory(view, little, view.getUint32(4, little), IFD0, found);
  const pointer = (name: Name): number => Number((found.get(name) as number[] | undefined)?.[0] ?? 0);
  if (found.has('ExifPointer')) directory(view, little, pointer('ExifPointer'), EXIF, found);
  if (found.has('GpsPointer')) directory(view, little, pointer('GpsPointer'), GPS, found);
  return found;
}

function directory(
  view: DataView,
  little: boolean,
  at: number,
  names: Readonly<Record<number, Name>>,
  found: Map<Name, string | readonly number[]>,
): void {
  if (at + 2 > view.byteLength) return;
  const count = Math.min(view.getUint16(at, little), MOST_ENTRIES);
  for (let i = 0; i < count; i++) {
    const entry = at + 2 + 12 * i;
    if (entry + 12 > view.byteLength) return;
    const name = names[view.getUint16(entry, little)];
    // Of a tag that stands twice, against the rule, the first counts.
    if (name === undefined || found.has(name)) continue;
    const value = valueOf(view, little, entry);
    if (value !== null) found.set(name, value);
  }
}

function valueOf(view: DataView, little: boolean, entry: number): string | number[] | null {
  const type = view.getUint16(entry + 2, little);
  const count = view.getUint32(entry + 4, little);
  const size = SIZES[type] ?? 0;
  if (size === 0 || count === 0) return null;
  const start = size * count <= 4 ? entry + 8 : view.getUint32(entry + 8, little);
  if (type === 2) {
    const length = Math.min(count, MOST_TEXT);
    if (start + length > view.byteLength) return null;
    const bytes = new Uint8Array(view.buffer, view.byteOffset + start, length);
    const end = bytes.indexOf(0);
    return new TextDecoder().decode(end < 0 ? bytes : bytes.subarray(0, end)).trim();
  }
  const n = Math.min(count, MOST_VALUES);
  if (start + n * size > view.byteLength) return null;
  return Array.from({ length: n }, (_, i) => number(view, little, type, start + i * size));
}

function number(view: DataView, little: boolean, type: number, at: number): number {
  switch (type) {
    case 3:
      return view.getUint16(at, little);
    case 4:
      return view.getUint32(at, little);
    case 5:
      return view.getUint32(at, little) / view.getUint32(at + 4, little);
    case 6:
      return view.getInt8(at);
    case 8:
      return view.getInt16(at, little);
    case 9:
      return view.getInt32(at, little);
    case 10:
      return view.getInt32(at, little) / view.getInt32(at + 4, little);
    case 11:
      return view.getFloat32(at, little);
    case 12:
      return view.getFloat64(at, little);
    default:
      return view.getUint8(at);
  }
}
