import { fail, ok, type Result } from '../../domain/base/result.ts';
import { openTileArchive, type TileArchive } from '../../io/read/tileArchive.ts';
import type { Source } from '../../io/source.ts';
import type { BasemapView } from '../protocol.ts';
import type { Desk } from './desk.ts';

/** One basemap a worker. */
const archives = new WeakMap<Desk, TileArchive>();
let opened = 0;

/** Opens a file of tiles as the basemap, in place of the one before. */
export async function openBasemap(desk: Desk, source: Source): Promise<Result<BasemapView>> {
  const archive = await openTileArchive(source);
  if (!archive.ok) return archive;
  archives.set(desk, archive.value);
  const { kind, minZoom, maxZoom, extent, attribution, vectorLayers } = archive.value;
  opened++;
  return ok({
    kind,
    tiles: `kinstand-basemap://${kind}/${opened}/{z}/{x}/{y}`,
    scheme: 'xyz',
    minZoom,
    maxZoom,
    extent,
    attribution,
    vectorLayers,
  });
}

export function basemapTile(
  desk: Desk,
  { z, x, y }: { z: number; x: number; y: number },
): Promise<Result<ArrayBuffer | null>> {
  const archive = archives.get(desk);
  return archive
    ? archive.tile(z, x, y)
    : Promise.resolve(fail('unreadable', 'The basemap', 'is not open', 'Choose it again.'));
}
