import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Crs } from '../../crs/crs.ts';
import type { BlockRaster } from './blockRaster.ts';

/** The raster with its notes, if it can lie where it says on the earth; doubts are noted. */
export function placedRaster(
  raster: BlockRaster,
  file: string,
  crs: Crs,
  notes: readonly Note[],
): Result<BlockRaster> {
  const misplaced = offGlobe(raster);
  if (misplaced)
    return fail('crs', file, misplaced, 'Give its real coordinate system (EPSG code, WKT or PROJ string).');
  const said = [doubt(raster, crs), crs.note].flatMap((what) => (what ? [{ where: file, what }] : []));
  raster.notes = [...notes, ...said];
  return ok(raster);
}

/** What is wrong where the raster cannot lie on the earth in its coordinate system; else null. */
function offGlobe(raster: BlockRaster): string | null {
  const { extent, width, height, crs } = raster;
  const [west, south, east, north] = extent;
  // A projection gives degrees for any number; only where they lead back to the number is it a place.
  const middle = raster.toPlace(Float64Array.of(width / 2), Float64Array.of(height / 2));
  const { col, row } = raster.toPixel(middle.lon, middle.lat);
  const back = Math.hypot(col[0] - width / 2, row[0] - height / 2) < 0.5;
  // A raster around a pole or over the whole earth reaches half a cell beyond.
  if (back && west >= -181 && east <= 361 && south >= -91 && north <= 91) return null;
  if (!back || !extent.every(Number.isFinite))
    return `has no place on the earth in its coordinate system (${crs})`;
  const corners = extent.map((x) => Number(x.toPrecision(6))).join(', ');
  return `lies at ${corners}, which are not degrees: its coordinate system (${crs}) is not the right one`;
}

/** A doubt about the coordinate system; else null. */
function doubt({ transform, width, height }: BlockRaster, crs: Crs): string | null {
  if (crs.geographic) return null;
  const [a, b, c, d, e, f] = transform;
  const x = [a, a + b * width + c * height];
  const y = [d, d + e * width + f * height];
  const small = x.every((v) => Math.abs(v) <= 360) && y.every((v) => Math.abs(v) <= 90);
  return small
    ? `has positions that look like degrees in a system of ${crs.unit} (${crs.name}). Check its coordinate system`
    : null;
}
