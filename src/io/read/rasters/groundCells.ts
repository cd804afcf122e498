import type { Ground } from '../../../domain/layers/terrainCells.ts';
import type { BlockCache } from './blocks.ts';
import { partOf, type Level } from './levels.ts';
import type { BandMeta } from './raster.ts';
import { readBlock } from './readBlock.ts';

/** Blocks asked for at once. */
const AT_ONCE = 16;

/**
 * The values of a rectangle of cells, scale and offset applied; NaN where missing, not finite, or outside the raster.
 * Throws where the file is damaged or cannot be read.
 * @param band 0-based.
 */
export async function groundCells(
  level: Level,
  band: number,
  meta: BandMeta,
  cache: BlockCache,
  [left, top, right, bottom]: readonly [number, number, number, number],
): Promise<Ground> {
  const stride = right - left;
  const z = new Float64Array(stride * (bottom - top)).fill(NaN);
  const nodata = meta.nodata ?? NaN;
  const { scale, offset } = meta;
  const { mask } = level;
  const one = async (block: number): Promise<void> => {
    const cells = await readBlock(level, band, block, cache);
    const known = mask ? await readBlock(mask, 0, block, cache) : null;
    const part = partOf(level, block);
    const [l, r] = [Math.max(left, part.left), Math.min(right, part.right)];
    for (let row = Math.max(top, part.top); row < Math.min(bottom, part.bottom); row++) {
      const from = (row - part.top) * (part.right - part.left) - part.left;
      const to = (row - top) * stride - left;
      for (let col = l; col < r; col++) {
        const raw = cells[from + col];
        const value = raw * scale + offset;
        // Infinity less itself is not 0 either: a height without end is none.
        if (raw !== nodata && value - value === 0) z[to + col] = value;
      }
      if (known) for (let col = l; col < r; col++) if (known[from + col] === 0) z[to + col] = NaN;
    }
  };
  const range = (from: number, to: number, size: number, count: number): number[] => {
    const first = Math.max(0, Math.floor(from / size));
    const last = Math.min(count - 1, Math.floor((to - 1) / size));
    return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => first + i);
  };
  const blocks = range(top, bottom, level.blockHeight, level.down).flatMap((y) =>
    range(left, right, level.blockWidth, level.across).map((x) => y * level.across + x),
  );
  for (let k = 0; k < blocks.length; k += AT_ONCE) await Promise.all(blocks.slice(k, k + AT_ONCE).map(one));
  return { z, stride };
}
