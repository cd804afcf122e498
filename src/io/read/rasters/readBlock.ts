import type { BlockCache, Cells } from './blocks.ts';
import type { Level } from './levels.ts';

/**
 * Cells of one block of one band (0-based), decoded once while the cache has room; rows are as long as the block's part.
 * @param keep whether it goes into the cache, for a block that nobody will ask for again; its other bands go there anyway.
 */
export async function readBlock(
  level: Level,
  band: number,
  block: number,
  cache: BlockCache,
  keep = true,
): Promise<Cells> {
  const keyOf = (b: number): string => `${level.key}/${b}/${block}`;
  const held = cache.get(keyOf(band));
  if (held) return held;
  // Bands that lie together in the file are decoded together.
  const together = level.together > 1;
  if (!keep && !together) return (await level.decode(block, [band]))[0];
  const bands = together ? Array.from({ length: level.together }, (_, b) => b) : [band];
  const made: Cells[] = [];
  await cache.once(together ? `${level.key}/*/${block}` : keyOf(band), async () => {
    const cells = await level.decode(block, bands);
    bands.forEach((b, i) => {
      made[b] = cells[i];
      cache.set(keyOf(b), cells[i]);
    });
  });
  return made[band] ?? cache.get(keyOf(band)) ?? (await readBlock(level, band, block, cache));
}
