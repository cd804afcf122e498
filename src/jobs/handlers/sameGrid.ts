import type { Raster } from '../../io/read/rasters/raster.ts';

/** Whether a cell of one is the same place as that cell of the other. Names of systems tell too little: places are compared. */
export function sameGrid(a: Raster, b: Raster): boolean {
  if (a.width !== b.width || a.height !== b.height) return false;
  if (!a.transform.every((t, i) => t === b.transform[i])) return false;
  if (a.system === b.system) return true;
  const shares = [0.001, 0.5, 0.999];
  const col = Float64Array.from({ length: 9 }, (_, i) => a.width * shares[i % 3]);
  const row = Float64Array.from({ length: 9 }, (_, i) => a.height * shares[Math.floor(i / 3)]);
  const place = a.toPlace(col, row);
  const at = b.toPixel(place.lon, place.lat);
  return col.every((c, i) => Math.hypot(at.col[i] - c, at.row[i] - row[i]) < 1e-5);
}
