/** A raster whose value at a place is a function of the place: what is read can be worked out, and readings are counted. */
import { ok } from '../../src/domain/base/result.ts';
import type { Box } from '../../src/domain/base/geo.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';

export interface FunctionRaster extends Raster {
  /** Positions sampled so far. */
  readonly read: number;
}

/** @param step degrees a cell. @param value of lon, lat; NaN missing. Outside the box there is none. */
export function functionRaster(
  [west, south, east, north]: Box,
  step: number,
  value: (lon: number, lat: number) => number,
): FunctionRaster {
  const [width, height] = [Math.round((east - west) / step), Math.round((north - south) / step)];
  const raster = {
    width,
    height,
    bands: [{ nodata: null, scale: 1, offset: 0, dtype: 'float64', description: '' }],
    crs: 'EPSG:4326',
    transform: [west, step, 0, north, 0, -step] as const,
    extent: [west, south, east, north] as const,
    cellMetres: step * 100_000,
    notes: [],
    read: 0,
    toPixel: (lon: Float64Array, lat: Float64Array) => ({
      col: lon.map((x) => (x - west) / step),
      row: lat.map((y) => (north - y) / step),
    }),
    toPlace: (col: Float64Array, row: Float64Array) => ({
      lon: col.map((c) => west + c * step),
      lat: row.map((r) => north - r * step),
    }),
    sample(_band: number, col: Float64Array, row: Float64Array) {
      raster.read += col.length;
      const inside = (i: number): boolean =>
        col[i] >= 0 && row[i] >= 0 && col[i] <= width && row[i] <= height;
      return Promise.resolve(
        ok(col.map((c, i) => (inside(i) ? value(west + c * step, north - row[i] * step) : NaN))),
      );
    },
  };
  // The rest of a raster (blocks, pictures, counts) is not asked for by those who sample.
  return raster as Partial<Raster> as FunctionRaster;
}
