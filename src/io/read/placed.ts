import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Crs } from '../crs.ts';
import type { BlockRaster } from './blockRaster.ts';

/** The raster with its notes, if it can lie where it says on the earth; doubts are noted. */
export function placed(
  raster: BlockRaster,
  file: string,
  crs: Crs,
  notes: readonly Note[],
): Result<BlockRaster> {
  const misplaced = raster.offGlobe();
  if (misplaced)
    return fail('crs', file, misplaced, 'Give its real coordinate system (EPSG code, WKT or PROJ string).');
  const said = [raster.doubt(), crs.note].flatMap((what) => (what ? [{ where: file, what }] : []));
  raster.notes = [...notes, ...said];
  return ok(raster);
}
