/** Opens zones for a verb: any readable kind of polygons, made zones as the app makes them. */
import { fail, ok, type Note, type Result } from '../domain/base/result.ts';
import { zonesFrom, type Zone } from '../domain/layers/zones.ts';
import { tableGeometry } from '../io/read/tables/tableGeometry.ts';
import type { ReadOptions } from '../io/read/types.ts';
import { mendOpened } from '../jobs/handlers/mendOpened.ts';
import { openPath } from './open.ts';

/** @param key attribute that tells zones apart; null: guessed, with a note. */
export async function openZones(
  path: string,
  key: string | null,
  options: ReadOptions = {},
): Promise<Result<{ zones: readonly Zone[]; notes: readonly Note[] }>> {
  const file = await openPath(path, options);
  if (!file.ok) return file;
  const drawn = await tableGeometry(file.value, undefined, options.crs, options.work);
  if (!drawn.ok) return drawn;
  const { content, file: name, notes } = mendOpened(drawn.value, key ?? '');
  if (content.kind !== 'polygon')
    return fail(
      'content',
      name,
      `holds ${content.kind === 'raster' || content.kind === 'table' ? `a ${content.kind}` : `${content.kind}s`}, not polygons`,
      'Give the zones as polygons.',
    );
  const zones = zonesFrom(content.features, key ?? '', '', name);
  if (!zones.ok) return zones;
  return ok({ zones: zones.value.zones, notes: [...notes, ...zones.value.notes] });
}
