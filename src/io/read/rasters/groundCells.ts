import type { Ground } from '../../../domain/layers/terrainCells.ts';
import type { BlockCache, Cells } from './blocks.ts';
import { blocksIn, type Level } from './levels.ts';
import type { BandMeta } from './raster.ts';
import { readBlock } from './readBlock.ts';
import { windowInto } from './windowInto.ts';

/** Blocks asked for at once. */
const AT_ONCE = 16;

/**
 * The values of a rectangle of cells that touches the raster, scale and offset applied; NaN where missing, not finite, or
 * outside it. Throws where the file is damaged or cannot be read.
 * @param band 0-based.
 */
export async function groundCells(
  level: Level,
  band: number,
  meta: BandMeta,
  cache: BlockCache,
  [left, top, right, bottom]: readonly [number, number, number, number],
): Promise<Ground> {
  const [l, t] = [Math.max(0, left), Math.max(0, top)];
  const [r, b] = [Math.min(level.width, right), Math.min(level.height, bottom)];
  const wanted = blocksIn(level, [l, t, r, b]);
  const { mask } = level;
  const blocks: Array<Cells | undefined> = [];
  const masks: Array<Cells | undefined> | null = mask ? [] : null;
  const one = async (block: number): Promise<void> => {
    blocks[block] = await readBlock(level, band, block, cache);
    if (mask && masks) masks[block] = await readBlock(mask, 0, block, cache);
  };
  for (let k = 0; k < wanted.length; k += AT_ONCE) await Promise.all(wanted.slice(k, k + AT_ONCE).map(one));

  const wide = r - l;
  const inside = new Float64Array(wide * (b - t));
  windowInto({ level, blocks, masks, meta }, [l, t, r, b], inside);
  const stride = right - left;
  const z = new Float64Array(stride * (bottom - top)).fill(NaN);
  for (let row = t; row < b; row++) {
    const from = (row - t) * wide;
    const to = (row - top) * stride + l - left;
    for (let i = 0; i < wide; i++) {
      const value = inside[from + i];
      // Infinity less itself is not 0: a height without end is none.
      if (value - value === 0) z[to + i] = value;
    }
  }
  return { z, stride };
}
