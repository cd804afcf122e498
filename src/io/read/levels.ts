/** One image of a GeoTIFF (full size, an overview, a mask) cut into blocks, and the decoding of a block. */
import { getDecoder, type GeoTIFFImage, type Pool } from 'geotiff';
import type { BlockCache, Cells } from './blocks.ts';

export interface Level {
  readonly image: GeoTIFFImage;
  readonly width: number;
  readonly height: number;
  readonly blockWidth: number;
  readonly blockHeight: number;
  readonly across: number;
  readonly down: number;
  readonly key: string;
  readonly samples: number;
  readonly type: CellType;
  /** Image of the same size whose cells are 0 where this one's are missing. */
  readonly mask: Level | null;
  /** Made at the first block. */
  readonly decoder: { value?: Promise<Decoder> };
}

type Decoder = Awaited<ReturnType<typeof getDecoder>>;

export interface CellType {
  readonly kind: 'UInt' | 'Int' | 'Float';
  readonly bits: number;
  readonly bytes: number;
}

/** Strips are joined to blocks of about this many cells: thousands of one-row strips would each cost a read. */
const CELLS_A_BLOCK = 65_536;
/** More blocks than any real file has; a damaged header is caught here before it asks for memory. */
const MOST_BLOCKS = 1 << 26;

const LERC = 34887;

const KINDS: Readonly<Record<number, CellType['kind']>> = { 1: 'UInt', 2: 'Int', 3: 'Float' };
/** Widths of cells that are read, by kind. */
const WIDTHS: Readonly<Record<CellType['kind'], readonly number[]>> = {
  UInt: [1, 2, 4, 8, 12, 16, 32],
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

export function levelOf(
  image: GeoTIFFImage,
  type: CellType,
  key: string,
  mask: Level | null = null,
): Level | null {
  const width = image.getWidth();
  const height = image.getHeight();
  const storedHeight = Math.min(height, image.getTileHeight());
  const blockWidth = Math.min(width, image.isTiled ? image.getTileWidth() : width);
  if (!(width > 0 && height > 0 && blockWidth > 0 && storedHeight > 0)) return null;
  const joined = image.isTiled ? 1 : Math.max(1, Math.round(CELLS_A_BLOCK / (blockWidth * storedHeight)));
  const blockHeight = Math.min(height, storedHeight * joined);
  const across = Math.ceil(width / blockWidth);
  const down = Math.ceil(height / blockHeight);
  if (across * down > MOST_BLOCKS || blockWidth * blockHeight > MOST_BLOCKS * 4) return null;
  const samples = image.getSamplesPerPixel();
  return {
    image,
    width,
    height,
    blockWidth,
    blockHeight,
    across,
    down,
    key,
    samples,
    type,
    mask,
    decoder: {},
  };
}

/** Cells of one block of one band (0-based), decoded once; rows are as long as the block's part of the image. */
export async function readBlock(
  level: Level,
  band: number,
  block: number,
  cache: BlockCache,
): Promise<Cells> {
  const keyOf = (b: number): string => `${level.key}/${b}/${block}`;
  const held = cache.get(keyOf(band));
  if (held) return held;
  // Bands that lie together in the file are decoded together.
  const together = level.image.planarConfiguration !== 2 && level.samples > 1;
  const bands = together ? Array.from({ length: level.samples }, (_, b) => b) : [band];
  const made: Cells[] = [];
  await cache.once(together ? `${level.key}/*/${block}` : keyOf(band), async () => {
    const cells = await decodeBlock(level, block, bands);
    bands.forEach((b, i) => {
      made[b] = cells[i];
      cache.set(keyOf(b), cells[i]);
    });
  });
  return made[band] ?? cache.get(keyOf(band)) ?? (await readBlock(level, band, block, cache));
}

async function decodeBlock(level: Level, block: number, bands: readonly number[]): Promise<Cells[]> {
  const { image, type } = level;
  const left = (block % level.across) * level.blockWidth;
  const top = Math.floor(block / level.across) * level.blockHeight;
  const right = Math.min(left + level.blockWidth, level.width);
  const bottom = Math.min(top + level.blockHeight, level.height);
  const width = right - left;
  const storedWidth = image.getTileWidth();
  const storedHeight = Math.min(level.height, image.getTileHeight());
  const out = bands.map(() => emptyCells(type, width * (bottom - top)));
  const stride = image.planarConfiguration === 2 ? 1 : level.samples;
  for (let y = Math.floor(top / storedHeight); y * storedHeight < bottom; y++) {
    for (let x = Math.floor(left / storedWidth); x * storedWidth < right; x++) {
      const cells = await storedCells(level, x, y, bands[0]);
      // The part of the stored piece that is in the block, in cells of the piece.
      const c0 = Math.max(left - x * storedWidth, 0);
      const c1 = Math.min(right - x * storedWidth, storedWidth);
      const r0 = Math.max(top - y * storedHeight, 0);
      const r1 = Math.min(bottom - y * storedHeight, storedHeight);
      if (cells && cells.length < ((r1 - 1) * storedWidth + c1) * stride)
        throw new Error(`block ${x}, ${y} holds too few cells`);
      bands.forEach((band, i) => {
        const to = out[i];
        const sample = stride === 1 ? 0 : band;
        for (let r = r0; r < r1; r++) {
          const at = (y * storedHeight + r - top) * width + (x * storedWidth + c0 - left);
          const from = r * storedWidth + c0;
          const n = c1 - c0;
          if (!cells) to.fill(Number(image.getGDALNoData() ?? 0), at, at + n);
          else if (stride === 1) to.set(cells.subarray(from, from + n), at);
          else for (let c = 0; c < n; c++) to[at + c] = cells[(from + c) * stride + sample];
        }
      });
    }
  }
  return out;
}

/** Cells of one stored tile or strip, all bands of it; null where the file has left it out (all nodata). */
async function storedCells(level: Level, x: number, y: number, band: number): Promise<Cells | null> {
  const { image, type } = level;
  const directory = image.fileDirectory;
  const across = Math.ceil(level.width / image.getTileWidth());
  const down = Math.ceil(level.height / image.getTileHeight());
  const index = y * across + x + (image.planarConfiguration === 2 ? band * across * down : 0);
  const counts = image.isTiled ? 'TileByteCounts' : 'StripByteCounts';
  if (Number(await directory.loadValueIndexed(counts, index)) === 0) return null;
  level.decoder.value ??= decoderOf(image);
  const { data } = await image.getTileOrStrip(x, y, band, await level.decoder.value);
  if (!(data instanceof ArrayBuffer)) throw new Error('a block cannot be unpacked');
  const odd = type.kind === 'UInt' && ![8, 16, 32].includes(type.bits);
  const predictor = await predictorOf(image);
  // Cells of odd widths, of LERC, and of the floating-point predictor come in the machine's order, others in the file's.
  const native = odd || predictor === 3 || Number(directory.getValue('Compression')) === LERC;
  if (!native && !image.littleEndian) swap(data, type.bits / 8);
  if (predictor === 2)
    undoDifferences(
      data,
      type.bits,
      image.getTileWidth(),
      image.planarConfiguration === 2 ? 1 : level.samples,
    );
  if (type.kind === 'Float' && type.bits === 16) return halves(new Uint16Array(data));
  return viewed(type, data);
}

async function predictorOf(image: GeoTIFFImage): Promise<number> {
  return Number((await image.fileDirectory.loadValue('Predictor')) ?? 1);
}

/**
 * The library keeps the making of a decoder's parameters to itself, but hands them to a pool of workers: a read of no
 * cells with a stand-in for the pool gets them out. Throws where the method of packing is not known to it.
 */
async function decoderOf(image: GeoTIFFImage): Promise<Decoder> {
  const found: Promise<Decoder>[] = [];
  const pool = {
    bindParameters(...[method, parameters]: Parameters<typeof getDecoder>) {
      // Horizontal differences are undone here: the library adds in the machine's order and not at all for 64 bits.
      const { predictor } = parameters;
      found.push(getDecoder(method, { ...parameters, predictor: predictor === 2 ? 1 : predictor }));
      return { decode: () => Promise.reject(new Error('not meant to decode')) };
    },
  };
  await image.readRasters({ window: [0, 0, 0, 0], pool: pool as unknown as Pool });
  return found[0];
}

function emptyCells({ kind, bytes }: CellType, n: number): Cells {
  if (kind === 'Float') return bytes === 8 ? new Float64Array(n) : new Float32Array(n);
  if (kind === 'Int')
    return bytes === 1 ? new Int8Array(n) : bytes === 2 ? new Int16Array(n) : new Int32Array(n);
  return bytes === 1 ? new Uint8Array(n) : bytes === 2 ? new Uint16Array(n) : new Uint32Array(n);
}

function viewed({ kind, bytes }: CellType, data: ArrayBuffer): Cells {
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

/** Big-endian cells to the machine's order (all machines in use are little-endian), in place. */
function swap(data: ArrayBuffer, bytes: number): void {
  if (bytes === 1) return;
  const all = new Uint8Array(data);
  for (let i = 0; i + bytes <= all.length; i += bytes) all.subarray(i, i + bytes).reverse();
}

/** TIFF 6.0, section 14, "horizontal differencing": each cell of a row was stored less its left neighbour's bits. */
function undoDifferences(data: ArrayBuffer, bits: number, width: number, samples: number): void {
  const words = { 8: Uint8Array, 16: Uint16Array, 32: Uint32Array }[bits];
  const row = width * samples;
  if (words) {
    const cells = new words(data, 0, Math.floor((data.byteLength * 8) / bits));
    for (let start = 0; start < cells.length; start += row) {
      const end = Math.min(cells.length, start + row);
      for (let i = start + samples; i < end; i++) cells[i] += cells[i - samples];
    }
  } else if (bits === 64) {
    const cells = new BigUint64Array(data, 0, Math.floor(data.byteLength / 8));
    for (let start = 0; start < cells.length; start += row) {
      const end = Math.min(cells.length, start + row);
      for (let i = start + samples; i < end; i++) cells[i] += cells[i - samples];
    }
  } else throw new Error(`predictor 2 for ${bits}-bit cells`);
}

/** 16-bit floats (IEEE 754 binary16) as 32-bit ones. */
function halves(stored: Uint16Array): Float32Array {
  return Float32Array.from(stored, (h) => {
    const sign = h & 0x8000 ? -1 : 1;
    const exponent = (h >> 10) & 31;
    const fraction = h & 1023;
    if (exponent === 31) return fraction ? NaN : sign * Infinity;
    return exponent === 0 ? sign * fraction * 2 ** -24 : sign * (1 + fraction / 1024) * 2 ** (exponent - 15);
  });
}
