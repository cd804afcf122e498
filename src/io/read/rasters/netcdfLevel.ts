/** Cells of a NetCDF grid as a level: rows from the north, columns from the west, however the file has them. */
import type { Source } from '../../source.ts';
import type { Cells } from './blocks.ts';
import { CELLS_A_BLOCK, cutInto, MOST_BLOCKS, partOf, type Level } from './levels.ts';
import { viewOf } from './netcdfAxis.ts';
import type { Grid } from './netcdfGrids.ts';
import { NC_BYTES, numberAt, type NcHeader } from './netcdfHeader.ts';
import type { NcCells } from './netcdfCells.ts';
import { ReadTrouble } from './trouble.ts';

/** Where the cells of the raster lie along the axes of the file. */
export interface Order {
  readonly flipX: boolean;
  readonly flipY: boolean;
  /** Columns by which a grid around the whole earth is turned, so that it begins at the 180th meridian. */
  readonly shift: number;
}

/** Bytes of one row (or column) of a file that is read at once. */
const MOST_BYTES = 1 << 27;

/** Null where rows are too long, or too many, to be read. */
export function netcdfLevel(
  source: Source,
  header: NcHeader,
  grid: Grid,
  cells: NcCells,
  order: Order,
  key: string,
): Level | null {
  const width = grid.x.size;
  const height = grid.y.size;
  const bytes = NC_BYTES[grid.variable.type];
  const run = grid.columns ? height : width;
  if (run * 8 > MOST_BYTES) return null;
  const joined = Math.max(1, Math.round(CELLS_A_BLOCK / run));
  const cut = grid.columns
    ? cutInto(width, height, Math.min(width, joined), height)
    : cutInto(width, height, width, Math.min(height, joined));
  if (cut.across * cut.down > MOST_BLOCKS) return null;
  const fileColumn = (col: number): number => (order.flipX ? width - 1 - col : (col + order.shift) % width);
  const fileRow = (row: number): number => (order.flipY ? height - 1 - row : row);
  const columns = Int32Array.from({ length: width }, (_, c) => fileColumn(c));

  const read = async (from: number, n: number): Promise<DataView> => {
    const read = await source.read(from, n * bytes);
    if (!read.ok) throw new ReadTrouble(read.failure);
    if (read.value.length < n * bytes) throw new Error('the file ends among its cells');
    return viewOf(read.value);
  };
  const { type } = grid.variable;

  const decodeBand = async (block: number, band: number): Promise<Cells> => {
    const { left, top, right, bottom } = partOf(cut, block);
    const wide = right - left;
    const out = cells.empty(wide * (bottom - top));
    const begin = bandBegin(header, grid, band);
    if (grid.columns) {
      await Promise.all(
        Array.from({ length: wide }, async (_, i) => {
          const view = await read(begin + columns[left + i] * height * bytes, height);
          for (let r = 0; r < height; r++)
            out[r * wide + i] = cells.kept(numberAt(view, type, fileRow(r) * bytes));
        }),
      );
      return out;
    }
    const first = Math.min(fileRow(top), fileRow(bottom - 1));
    const view = await read(begin + first * width * bytes, (bottom - top) * width);
    for (let r = top; r < bottom; r++) {
      const from = (fileRow(r) - first) * width;
      const to = (r - top) * width;
      for (let c = 0; c < width; c++)
        out[to + c] = cells.kept(numberAt(view, type, (from + columns[c]) * bytes));
    }
    return out;
  };
  return {
    ...cut,
    key: `${key}/0`,
    together: 1,
    cellBytes: cells.bytes,
    mask: null,
    decode: (block, bands) => Promise.all(bands.map((band) => decodeBand(block, band))),
  };
}

/** Byte at which a band (0-based) begins. */
export function bandBegin(header: NcHeader, grid: Grid, band: number): number {
  const bytes = grid.x.size * grid.y.size * NC_BYTES[grid.variable.type];
  if (!grid.variable.record) return grid.variable.begin + band * bytes;
  const perRecord = grid.bands / header.dimensions[grid.others[0]].size;
  return grid.variable.begin + Math.floor(band / perRecord) * header.recordBytes + (band % perRecord) * bytes;
}
