/** The decoding of one block of a GeoTIFF's image from the tiles or strips that it lies in. */
import type { BlockCache, Cells } from './blocks.ts';
import { emptyCells } from './cellType.ts';
import type { Level } from './levels.ts';
import { storedCells } from './stored.ts';

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
