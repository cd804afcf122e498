/**
 * The bytes of a cloud-optimised GeoTIFF around its tiles. Layout as in OGC 21-026 (Cloud Optimized GeoTIFF) and the
 * documentation of GDAL's COG driver: header, structural metadata, all directories from the full image to the smallest
 * overview, then the tiles from the smallest overview to the full image. Directories: TIFF 6.0, section 2; BigTIFF where the
 * file would not fit into 4 GiB.
 */

/** One tag of a directory. Texts are UTF-8. */
export interface Tag {
  readonly tag: number;
  readonly type: 'ascii' | 'short' | 'long' | 'double';
  readonly values: string | ArrayLike<number>;
}

export interface TiffImage {
  /** All but those of where its tiles are. */
  readonly tags: readonly Tag[];
  /** Row by row, as `block` makes them. */
  readonly blocks: readonly Uint8Array<ArrayBuffer>[];
}

/** A packed tile with its size before it and its last four bytes behind it: what reads it needs no second request. */
export function block(packed: Uint8Array): Uint8Array<ArrayBuffer> {
  const out = new Uint8Array(packed.length + LEADER + TRAILER);
  new DataView(out.buffer).setUint32(0, packed.length, true);
  out.set(packed, LEADER);
  out.set(packed.subarray(-TRAILER), LEADER + packed.length);
  return out;
}
const LEADER = 4;
const TRAILER = 4;

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const LAYOUT = [
  'LAYOUT=IFDS_BEFORE_DATA',
  'BLOCK_ORDER=ROW_MAJOR',
  'BLOCK_LEADER=SIZE_AS_UINT4',
  'BLOCK_TRAILER=LAST_4_BYTES_REPEATED',
  'KNOWN_INCOMPATIBLE_EDITION=NO\n ',
].join('\n');
const STRUCTURE = utf8(
  `GDAL_STRUCTURAL_METADATA_SIZE=${String(LAYOUT.length).padStart(6, '0')} bytes\n${LAYOUT}`,
);

/** Sizes and codes of the values of a tag. */
const TYPES = {
  ascii: { code: 2, size: 1 },
  short: { code: 3, size: 2 },
  long: { code: 4, size: 4 },
  double: { code: 12, size: 8 },
  long8: { code: 16, size: 8 },
} as const;

interface Values {
  readonly tag: number;
  readonly type: keyof typeof TYPES;
  readonly values: ArrayLike<number>;
}

/** What differs between the two kinds of file: widths of numbers. */
interface Kind {
  readonly header: number;
  readonly count: number;
  readonly entry: number;
  readonly offset: 4 | 8;
  /** Values and directories begin at multiples of it. */
  readonly align: 2 | 8;
}
const CLASSIC: Kind = { header: 8, count: 2, entry: 12, offset: 4, align: 2 };
const BIG: Kind = { header: 16, count: 8, entry: 20, offset: 8, align: 8 };
const CLASSIC_MOST = 2 ** 32 - 1;

/**
 * @param images the full image, then its overviews from the largest to the smallest.
 * @param most bytes up to which the file is a classic TIFF.
 * @returns the file in pieces: its head, then the blocks as they were given.
 */
export function geotiffLayout(images: readonly TiffImage[], most = CLASSIC_MOST): Uint8Array<ArrayBuffer>[] {
  const blocks = [...images].reverse().flatMap((i) => i.blocks);
  const data = blocks.reduce((sum, b) => sum + b.length, 0);
  const kind = headBytes(images, CLASSIC) + data <= most ? CLASSIC : BIG;
  return [head(images, kind), ...blocks];
}

const aligned = (n: number, kind: Kind): number => Math.ceil(n / kind.align) * kind.align;
const startOf = (kind: Kind): number => aligned(kind.header + STRUCTURE.length, kind);

function directories(images: readonly TiffImage[], kind: Kind, offsets: readonly number[][]): Values[][] {
  return images.map(({ tags, blocks }, i) =>
    [
      ...tags.map((t): Values => ({
        ...t,
        values: typeof t.values === 'string' ? [...utf8(t.values), 0] : t.values,
      })),
      { tag: 324, type: kind === BIG ? ('long8' as const) : ('long' as const), values: offsets[i] },
      { tag: 325, type: 'long' as const, values: blocks.map((b) => b.length - LEADER - TRAILER) },
    ].sort((a, b) => a.tag - b.tag),
  );
}

const bytesOf = ({ type, values }: Values): number => values.length * TYPES[type].size;
const outside = (v: Values, kind: Kind): number => (bytesOf(v) > kind.offset ? aligned(bytesOf(v), kind) : 0);

const directoryBytes = (tags: readonly Values[], kind: Kind): number =>
  aligned(kind.count + kind.entry * tags.length + kind.offset, kind) +
  tags.reduce((sum, t) => sum + outside(t, kind), 0);

function headBytes(images: readonly TiffImage[], kind: Kind): number {
  const empty = images.map(({ blocks }) => blocks.map(() => 0));
  return directories(images, kind, empty).reduce((sum, d) => sum + directoryBytes(d, kind), startOf(kind));
}

function head(images: readonly TiffImage[], kind: Kind): Uint8Array<ArrayBuffer> {
  const offsets: number[][] = images.map(() => []);
  let at = headBytes(images, kind);
  const out = new Uint8Array(at);
  for (let i = images.length - 1; i >= 0; i--)
    for (const b of images[i].blocks) {
      offsets[i].push(at + LEADER);
      at += b.length;
    }
  const view = new DataView(out.buffer);
  const offset = (where: number, value: number): void =>
    kind === BIG ? view.setBigUint64(where, BigInt(value), true) : view.setUint32(where, value, true);
  out.set(kind === BIG ? [0x49, 0x49, 43, 0, 8, 0, 0, 0] : [0x49, 0x49, 42, 0]);
  offset(kind.header - kind.offset, startOf(kind));
  out.set(STRUCTURE, kind.header);
  let from = startOf(kind);
  directories(images, kind, offsets).forEach((tags, i) => {
    const next = from + directoryBytes(tags, kind);
    writeDirectory(view, from, tags, kind, offset);
    offset(from + kind.count + kind.entry * tags.length, i + 1 < images.length ? next : 0);
    from = next;
  });
  return out;
}

function writeDirectory(
  view: DataView,
  from: number,
  tags: readonly Values[],
  kind: Kind,
  offset: (where: number, value: number) => void,
): void {
  if (kind === BIG) view.setBigUint64(from, BigInt(tags.length), true);
  else view.setUint16(from, tags.length, true);
  let far = from + aligned(kind.count + kind.entry * tags.length + kind.offset, kind);
  tags.forEach((t, k) => {
    const entry = from + kind.count + kind.entry * k;
    const { code, size } = TYPES[t.type];
    view.setUint16(entry, t.tag, true);
    view.setUint16(entry + 2, code, true);
    offset(entry + 4, t.values.length);
    const inline = entry + kind.entry - kind.offset;
    const where = outside(t, kind) > 0 ? far : inline;
    if (where === far) offset(inline, far);
    for (let i = 0; i < t.values.length; i++) put(view, t.type, where + i * size, t.values[i]);
    far += outside(t, kind);
  });
}

function put(view: DataView, type: keyof typeof TYPES, where: number, value: number): void {
  if (type === 'ascii') view.setUint8(where, value);
  else if (type === 'short') view.setUint16(where, value, true);
  else if (type === 'long') view.setUint32(where, value, true);
  else if (type === 'double') view.setFloat64(where, value, true);
  else view.setBigUint64(where, BigInt(value), true);
}
