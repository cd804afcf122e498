/**
 * The match of every cell of the finest of the variables' grids, from the top, in strips of whole rows. It is what the match
 * of a candidate at the cell's centre would be. One pass over the files; a few blocks of each are in memory at a time.
 */
import type { Box } from '../../domain/base/geo.ts';
import type { Lattice } from '../../domain/base/smoothField.ts';
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { surfaceKernel } from '../../domain/vetting/match/surface.ts';
import type { SurfaceSpec } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { Desk } from './desk.ts';
import { anyInside, type Positions } from './positions.ts';
import { finest, positionsOn, surfaceRasters, type SurfaceRaster } from './surfaceRasters.ts';

/** Which cells: every `step`-th column and row of a raster, `width` x `height` of them from cell (left, top) of the raster on. */
export interface SurfaceGrid {
  readonly raster: Raster;
  readonly left: number;
  readonly top: number;
  readonly step: number;
  readonly width: number;
  readonly height: number;
}

/** Whole rows of the grid: `match` row by row, NaN where there is none. */
export interface SurfaceStrip {
  /** First row, counted from the top of the grid, and how many. */
  readonly row: number;
  readonly rows: number;
  readonly match: Float32Array;
}

/** A part of the grid that is read at once. */
type Piece = Pick<SurfaceGrid, 'left' | 'top' | 'width' | 'height'>;

/** Cells of a piece at least, where the file's blocks are smaller; its side where cells are stepped over. */
const CELLS_A_PIECE = 65_536;
const SIDE = 256;
/** Pieces that are read while one is computed: the host unpacks beside the computing. */
const AHEAD = 2;

/**
 * @param window cells of the raster (left, top, right, bottom), by default all of it. With a step from 2 on a cell stands for
 * step x step of them, is read at their common centre, and from overviews where the file has them.
 * Failure 'variables': a layer that is not open.
 */
export function surfaceGrid(desk: Desk, spec: SurfaceSpec, window?: Box, step = 1): Result<SurfaceGrid> {
  const rasters = surfaceRasters(desk, spec);
  if (!rasters.ok) return rasters;
  const raster = finest(rasters.value);
  const [left, top, right, bottom] = window ?? [0, 0, raster.width, raster.height];
  return ok({
    raster,
    left,
    top,
    step,
    width: Math.ceil((right - left) / step),
    height: Math.ceil((bottom - top) / step),
  });
}

/** The places of some cells of the grid, in columns and rows of its raster: the centres of what they stand for. */
export const centres = (grid: SurfaceGrid, piece: Piece): Lattice => ({
  left: grid.left + (piece.left + 0.5) * grid.step,
  top: grid.top + (piece.top + 0.5) * grid.step,
  step: grid.step,
  width: piece.width,
  height: piece.height,
});

/**
 * Hands out all rows of the grid in order.
 * Failures: a layer that is not open ('variables'), and those of reading. Rejects when the work is cancelled.
 */
export async function surfaceCells(
  desk: Desk,
  spec: SurfaceSpec,
  grid: SurfaceGrid,
  work: Work,
  onStrip: (strip: SurfaceStrip) => Promise<void> | void,
): Promise<Result<null>> {
  const rasters = surfaceRasters(desk, spec);
  if (!rasters.ok) return rasters;
  const kernel = surfaceKernel(spec);
  const strips = piecesOf(grid);
  const pieces = strips.flat();
  const coming: Array<ReturnType<typeof valuesOf>> = [];
  let asked = 0;
  // Columns are written over again: a file of gigabytes would leave as many behind.
  const most = Math.max(0, ...pieces.map((p) => p.width * p.height));
  const columns = Array.from({ length: AHEAD + 1 }, () => rasters.value.map(() => new Float64Array(most)));
  try {
    for (const strip of strips) {
      const [{ top: row, height: rows }] = strip;
      const match = new Float32Array(grid.width * rows).fill(NaN);
      for (const piece of strip) {
        for (; asked < pieces.length && coming.length <= AHEAD; asked++)
          coming.push(valuesOf(rasters.value, grid, pieces[asked], columns[asked % columns.length], work));
        const values = await coming[0];
        if (!values.ok) return values;
        if (values.value) {
          const { left, width } = piece;
          const out = new Float32Array(width * rows);
          kernel(values.value, out);
          for (let r = 0; r < rows; r++)
            match.set(out.subarray(r * width, (r + 1) * width), r * grid.width + left);
        }
        void coming.shift();
        await work.pause?.();
      }
      await onStrip({ row, rows, match });
      work.progress?.(row + rows, grid.height, 'rows of the match surface');
    }
    return ok(null);
  } finally {
    // What was asked for ahead of a failure or a cancel has nobody who waits for it.
    for (const piece of coming) piece.catch(() => undefined);
  }
}

/** The grid cut along the blocks of its raster: pieces from left to right, strip by strip. */
function piecesOf({ raster, left, top, step, width, height }: SurfaceGrid): Piece[][] {
  const [blockWidth, blockHeight] =
    step > 1 ? [SIDE, SIDE] : [raster.blockWidth, Math.min(raster.height, raster.blockHeight)];
  const wide = blockWidth * Math.ceil(SIDE / blockWidth);
  const high = blockHeight * Math.max(1, Math.round(CELLS_A_PIECE / (Math.min(wide, width) * blockHeight)));
  const [cols, rows] = [cuts(step > 1 ? 0 : left, width, wide), cuts(step > 1 ? 0 : top, height, high)];
  return rows.map(([r0, r1]) =>
    cols.map(([c0, c1]) => ({ left: c0, top: r0, width: c1 - c0, height: r1 - r0 })),
  );
}

/** From and to (from 0 on) of n cells that begin at `first`, cut at multiples of `every`. */
function cuts(first: number, n: number, every: number): Array<[number, number]> {
  const out: Array<[number, number]> = [];
  for (let at = 0; at < n;) {
    const next = Math.min(n, (Math.floor((first + at) / every) + 1) * every - first);
    out.push([at, next]);
    at = next;
  }
  return out;
}

/** Values of each variable in a piece, row by row, some of them in `columns`; null where one of them has none there. */
async function valuesOf(
  rasters: readonly SurfaceRaster[],
  grid: SurfaceGrid,
  piece: Piece,
  columns: readonly Float64Array[],
  work: Work,
): Promise<Result<readonly Float64Array[] | null>> {
  const { raster: own, step } = grid;
  const left = grid.left + piece.left;
  const top = grid.top + piece.top;
  const ownLike = rasters.find((r) => r.raster === own)?.like;
  const direct = (r: SurfaceRaster): boolean => step === 1 && r.like === ownLike;
  const positions = new Map<Raster, Positions>();
  for (const { like } of rasters.filter((r) => !direct(r))) {
    if (positions.has(like)) continue;
    const at = positionsOn(like, own, centres(grid, piece));
    if (!anyInside(like, at)) return ok(null);
    positions.set(like, at);
  }
  const read = await Promise.all(
    rasters.map((r, v) => {
      const at = positions.get(r.like);
      if (!at || direct(r))
        return r.raster.cells(
          r.band,
          [left, top, left + piece.width, top + piece.height],
          columns[v].subarray(0, piece.width * piece.height),
          work,
        );
      const across = (own.cellMetres * step) / r.raster.cellMetres;
      return r.raster.sample(r.band, at.col, at.row, 'bilinear', work, across);
    }),
  );
  const values: Float64Array[] = [];
  for (const column of read) {
    if (!column.ok) return column;
    values.push(column.value);
  }
  return ok(values);
}
