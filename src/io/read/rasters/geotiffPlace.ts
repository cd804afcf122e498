/** Where a GeoTIFF lies: as it says itself, else as the files beside it say (.aux.xml, .tfw, .prj). */
import type { GeoTIFFImage } from 'geotiff';
import type { Box } from '../../../domain/base/geo.ts';
import { fail, missingCrs, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import { crsFromGeoKeys } from '../../crs/crsGeoKeys.ts';
import type { Source } from '../../source.ts';
import { auxBeside, type Aux } from './auxXml.ts';
import { pixelTransform } from './geotiffTags.ts';
import { crsBeside } from './prj.ts';
import type { Affine } from './raster.ts';
import type { ReadOptions } from '../types.ts';
import { worldFileBeside } from './worldFile.ts';

export interface GeotiffPlace {
  readonly transform: Affine;
  readonly crs: Crs;
  /** What stands beside the file, where it was looked at. */
  readonly aux: Aux | null;
  readonly notes: readonly Note[];
}

/** A host is asked for files beside an address only where the file itself does not say where it lies. */
export async function geotiffPlace(
  image: GeoTIFFImage,
  source: Source,
  options: ReadOptions,
): Promise<Result<GeotiffPlace>> {
  const where = source.name;
  const inside = await pixelTransform(image);
  const keys = image.getGeoKeys();
  const lacks = !inside || (!options.crs && !saysCrs(keys));
  const aux = source.url === undefined || lacks ? await auxBeside(source) : ok(null);
  // What only adds names and colours may be damaged.
  if (!aux.ok && lacks) return aux;
  const beside = aux.ok ? aux.value : null;
  const notes = aux.ok ? [] : [{ where: aux.failure.where, what: `${aux.failure.what}: left aside` }];
  let transform = inside ?? beside?.transform ?? null;
  if (!transform) {
    const world = await worldFileBeside(source);
    if (!world.ok) return world;
    transform = world.value;
  }
  if (!transform) {
    const points = image.fileDirectory.hasTag('ModelTiepoint');
    return fail(
      'crs',
      where,
      points
        ? 'is tied to the ground by single points, not by a regular grid'
        : 'does not say where its cells lie (no position in the file)',
      points
        ? 'Warp it to a grid first.'
        : 'Give a GeoTIFF with its georeference inside, or bring its world file (.tfw) along.',
    );
  }
  const crs = await crsOf(keys, source, options, beside);
  if (!crs.ok) return crs;
  return crs.value
    ? ok({ transform, crs: crs.value, aux: beside, notes })
    : missingCrs(where, boxOf(transform, image.getWidth(), image.getHeight()));
}

async function crsOf(
  keys: ReturnType<GeoTIFFImage['getGeoKeys']>,
  source: Source,
  options: ReadOptions,
  aux: Aux | null,
): Promise<Result<Crs | null>> {
  if (options.crs) return crsFrom(options.crs, source.name);
  if (saysCrs(keys)) return crsFromGeoKeys(keys, source.name);
  return aux?.srs ? crsFrom(aux.srs, `${source.name}.aux.xml`) : crsBeside(source);
}

/** Keys that name a system, or spell one out. Files without one may still have keys of other kinds. */
const saysCrs = (keys: ReturnType<GeoTIFFImage['getGeoKeys']>): boolean =>
  Object.keys(keys ?? {}).some((name) =>
    /^(ProjectedCSType|GeographicType|GeodeticCRS|Projection|ProjCoordTrans)GeoKey$/.test(name),
  );

function boxOf([a, b, c, d, e, f]: Affine, width: number, height: number): Box {
  const x = [a, a + b * width, a + c * height, a + b * width + c * height];
  const y = [d, d + e * width, d + f * height, d + e * width + f * height];
  return [Math.min(...x), Math.min(...y), Math.max(...x), Math.max(...y)];
}
