/** The rasters that a match surface is computed from, and where cells of one lie on another. */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Lattice } from '../../domain/base/smoothField.ts';
import type { SurfaceSpec } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { Desk } from './desk.ts';
import { smoothPositions, type Positions } from './positions.ts';
import { sameGrid } from './sameGrid.ts';

export interface SurfaceRaster {
  readonly layer: string;
  readonly raster: Raster;
  readonly band: number;
  /** The first of the surface's rasters that has the same grid: positions on it serve for this one too. */
  readonly like: Raster;
}

/** In the order of the variables. A Failure 'variables' for one that is not open, or is no raster. */
export function surfaceRasters(desk: Desk, spec: SurfaceSpec): Result<readonly SurfaceRaster[]> {
  const found: SurfaceRaster[] = [];
  for (const { layer } of spec.variables) {
    const open = desk.layers.get(layer);
    if (open?.opened.content.kind !== 'raster')
      return fail(
        'variables',
        open?.entry.title ?? layer,
        'is not open as a raster',
        'See what is wrong with it in the Layers stage, or leave this variable out.',
      );
    const { raster } = open.opened.content;
    const like = found.find((f) => sameGrid(f.like, raster))?.like ?? raster;
    found.push({ layer, raster, band: open.entry.band, like });
  }
  return ok(found);
}

/** The raster with the smallest cells, of equal ones the first. */
export const finest = (rasters: readonly SurfaceRaster[]): Raster =>
  rasters.reduce((a, b) => (b.raster.cellMetres < a.raster.cellMetres ? b : a)).raster;

/** Cells: a position that far off changes a match by less than it is rounded, however steep the raster. */
const EXACT = 1e-6;

/** Where the places of a lattice on one raster (in its columns and rows) lie on another. */
export function positionsOn(to: Raster, from: Raster, lattice: Lattice): Positions {
  return smoothPositions(to, (col, row) => from.toPlace(col, row), lattice, EXACT);
}
