/**
 * Esri ASCII grids (.asc): a header of key words, then the cells as text, row by row from the north. The file is gone
 * through once to find where the blocks begin; a block's text is read and made into numbers when it is asked for.
 */
import { missingCrs, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { asciiBlock } from './asciiCells.ts';
import { asciiGridHeader, looksLikeAsciiGrid } from './asciiGridHeader.ts';
import { asciiGridIndex } from './asciiGridIndex.ts';
import { BlockRaster } from './blockRaster.ts';
import { freshKey, sharedBlocks } from './blocks.ts';
import type { Level } from './levels.ts';
import { placedRaster } from './placedRaster.ts';
import { crsBeside } from './prj.ts';
import type { Raster } from './raster.ts';
import type { Format, ReadOptions } from '../types.ts';

export const asciiGrid: Format = {
  id: 'ascii-grid',
  title: 'ASCII grid',
  extensions: ['asc', 'grd'],
  recognises: (head) => looksLikeAsciiGrid(head),
  async read(source, options) {
    const raster = await openAsciiGrid(source, options);
    if (!raster.ok) return raster;
    const { value } = raster;
    return ok({
      file: source.name,
      format: 'ASCII grid',
      content: { kind: 'raster', raster: value },
      crs: value.crs,
      extent: value.extent,
      count: 1,
      notes: value.notes,
    });
  },
};

/** The format's own nodata where a header gives none (Esri's description of the format; from memory). */
const DEFAULT_NODATA = -9999;

/** Fails where the header or a count of the cells shows that the file is not whole, or where it has no coordinate system. */
export async function openAsciiGrid(
  source: Source,
  options: ReadOptions = {},
  cache = sharedBlocks,
): Promise<Result<Raster>> {
  const header = await asciiGridHeader(source);
  if (!header.ok) return header;
  const { cols, rows, left, top, cellX, cellY, nodata } = header.value;
  const where = source.name;
  // Before the cells: a system that is missing is asked for at once, not after a long file.
  const given = options.crs ? await crsFrom(options.crs, where) : await crsBeside(source);
  if (!given.ok) return given;
  if (given.value === null) return missingCrs(where, [left, top - rows * cellY, left + cols * cellX, top]);
  const index = await asciiGridIndex(source, header.value, options.work);
  if (!index.ok) return index;
  const { cut, whole, commas } = index.value;
  const notes: Note[] = [];
  if (nodata === null)
    notes.push({
      where,
      what: `does not say which number stands for no data; ${DEFAULT_NODATA} is taken, as the format has it`,
    });
  if (commas) notes.push({ where, what: 'has decimal commas, which are read as decimal points' });
  const key = freshKey(where);
  const level: Level = {
    ...cut,
    key: `${key}/0`,
    together: 1,
    cellBytes: whole ? 4 : 8,
    mask: null,
    decode: async (block) => [await asciiBlock(source, index.value, block)],
  };
  const meta = {
    nodata: nodata ?? DEFAULT_NODATA,
    scale: 1,
    offset: 0,
    dtype: whole ? 'Int32' : 'Float64',
    description: '',
  };
  const raster = new BlockRaster(
    where,
    key,
    [level],
    [meta],
    given.value,
    [left, cellX, 0, top, 0, -cellY],
    cache,
  );
  return placedRaster(raster, where, given.value, notes);
}
