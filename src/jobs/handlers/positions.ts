/** Where many places lie on a raster. */
import { smoothField, type Field, type Lattice } from '../../domain/base/smoothField.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { aboutColumn, intoTurn } from '../../io/read/rasters/turn.ts';

/** Fractional columns and rows of a raster. */
export interface Positions {
  readonly col: Float64Array;
  readonly row: Float64Array;
}

/**
 * Where the places of any lattice lie on a raster.
 * @param placeOf from the lattice to degrees. @param tolerance in cells of the raster.
 */
export function smoothPositions(
  to: Pick<Raster, 'toPixel' | 'turn' | 'width'>,
  placeOf: (x: Float64Array, y: Float64Array) => { lon: Float64Array; lat: Float64Array },
  lattice: Lattice,
  tolerance: number,
): Positions {
  const { left, top, step, width, height } = lattice;
  const exact = (x: Float64Array, y: Float64Array): Positions => {
    const { lon, lat } = placeOf(x, y);
    return to.toPixel(lon, lat);
  };
  const middle = exact(
    Float64Array.of(left + (step * (width - 1)) / 2),
    Float64Array.of(top + (step * (height - 1)) / 2),
  ).col[0];
  const field: Field = (x, y) => {
    const { col, row } = exact(x, y);
    if (Number.isFinite(middle)) aboutColumn(col, to.turn, middle);
    return [col, row];
  };
  const [col, row] = smoothField(field, lattice, [tolerance, tolerance]);
  intoTurn(col, to.turn, to.width);
  return { col, row };
}

/** Whether any of the positions is in the raster. */
export function anyInside({ width, height }: Raster, { col, row }: Positions): boolean {
  for (let i = 0; i < col.length; i++)
    if (col[i] >= 0 && row[i] >= 0 && col[i] < width && row[i] < height) return true;
  return false;
}
