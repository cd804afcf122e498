import { ok, type Result } from '../../../domain/base/result.ts';
import type { Raster } from './raster.ts';

/** The same raster with every value as factor * value + offset; missing stays missing (NaN). Classes are not counted otherwise. */
export function rasterInUnit(raster: Raster, factor: number, offset: number): Raster {
  const convert = <A extends Float64Array | Float32Array>(result: Result<A>): Result<A> =>
    result.ok ? ok(result.value.map((x) => factor * x + offset) as A) : result;
  return {
    width: raster.width,
    height: raster.height,
    bands: raster.bands,
    crs: raster.crs,
    system: raster.system,
    transform: raster.transform,
    extent: raster.extent,
    cellMetres: raster.cellMetres,
    notes: raster.notes,
    toPixel: (lon, lat) => raster.toPixel(lon, lat),
    toPlace: (col, row) => raster.toPlace(col, row),
    sample: async (...args) => convert(await raster.sample(...args)),
    window3: async (...args) => convert(await raster.window3(...args)),
    picture: async (...args) => convert(await raster.picture(...args)),
    countWithin: (...args) => raster.countWithin(...args),
    heldBytes: () => raster.heldBytes(),
    trim: () => raster.trim(),
  };
}
