/** One image of a GeoTIFF (full size, an overview, a mask) cut into blocks, and the decoding of a block. */
import type { GeoTIFFImage } from 'geotiff';
import type { BlockCache, Cells } from './blocks.ts';
import { emptyCells, type CellType } from './cellType.ts';
import type { Decoder } from './decoder.ts';
import { storedCells } from './stored.ts';

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

/** Strips are joined to blocks of about this many cells: thousands of one-row strips would each cost a read. */
const CELLS_A_BLOCK = 65_536;
/** More blocks than any real file has; a damaged header is caught here before it asks for memory. */
const MOST_BLOCKS = 1 << 26;

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
