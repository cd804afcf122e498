import { layerDefinition } from '../../../layers/index.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import { BlockRaster } from '../../io/read/rasters/blockRaster.ts';
import { derivedRaster, MANY_CELLS } from '../../io/read/rasters/derivedRaster.ts';
import type { Desk, OpenLayer } from './desk.ts';
import { figuresOf } from './figures.ts';
import { forget } from './open.ts';

/**
 * Puts a layer on the desk that is computed from the elevation layer `from`, which has to be open there; both read the same
 * decoded blocks. A failure leaves the desk as it was.
 */
export async function openComputed(desk: Desk, entry: LayerEntry, work: Work): Promise<Result<OpenLayer>> {
  const definition = layerDefinition(entry.definition);
  const title = entry.title ?? definition?.title ?? entry.id;
  if (!definition?.derives)
    return fail(
      'plan',
      title,
      `is said to be computed from elevation, which its kind ("${entry.definition}") cannot be`,
      'Bring a file for it, or remove it.',
    );
  const ground = desk.layers.get(entry.from ?? '');
  if (!ground)
    return fail(
      'unreadable',
      title,
      `is computed from the layer "${entry.from ?? ''}", which is not open`,
      'See what is wrong with that layer.',
    );
  const { content } = ground.opened;
  if (
    ground.definition.id !== 'elevation' ||
    !(content.kind === 'raster' && content.raster instanceof BlockRaster)
  )
    return fail(
      'unreadable',
      title,
      `is computed from ${ground.entry.title ?? ground.definition.title}, which is not an elevation raster`,
      'Say that it is elevation, or remove this layer.',
    );
  const raster = derivedRaster(
    content.raster,
    ground.entry.band,
    { derivation: definition.derives, radius: entry.radius ?? 0 },
    title,
  );
  if (!raster.ok) return raster;
  const figures = await figuresOf(raster.value, 1, false, work, MANY_CELLS);
  if (!figures.ok) return figures;
  const { crs, extent, notes } = raster.value;
  const none = figures.value
    ? []
    : [{ where: title, what: 'holds no value at all (no cell has all that it is computed from)' }];
  const layer: OpenLayer = {
    entry,
    definition,
    opened: {
      file: title,
      format: 'computed',
      content: { kind: 'raster', raster: raster.value },
      crs,
      extent,
      count: 1,
      notes: [...notes, ...none],
    },
    figures: figures.value,
    zones: null,
    candidates: null,
    notes: [...notes, ...none],
  };
  forget(desk, entry.id);
  desk.layers.set(entry.id, layer);
  return ok(layer);
}
