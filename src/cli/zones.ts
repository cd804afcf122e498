/** Opens zones for a verb: any readable kind of polygons, made zones as the app makes them. */
import { fail, ok, type Note, type Result } from '../domain/base/result.ts';
import { zonesFrom, type Zone } from '../domain/layers/zones.ts';
import type { ReadOptions } from '../io/read/types.ts';
import { openPath } from './open.ts';

/** @param key attribute that tells zones apart; null: guessed, with a note. */
export async function openZones(
  path: string,
  key: string | null,
  options: ReadOptions = {},
): Promise<Result<{ zones: readonly Zone[]; notes: readonly Note[] }>> {
  const opened = await openPath(path, options);
  if (!opened.ok) return opened;
  const { content, file, notes } = opened.value;
  if (content.kind !== 'polygon')
    return fail(
      'content',
      file,
      `holds ${content.kind === 'raster' || content.kind === 'table' ? `a ${content.kind}` : `${content.kind}s`}, not polygons`,
      'Give the zones as polygons.',
    );
  const zones = zonesFrom(content.features, key ?? '', '', file);
  if (!zones.ok) return zones;
  return ok({ zones: zones.value.zones, notes: [...notes, ...zones.value.notes] });
}
