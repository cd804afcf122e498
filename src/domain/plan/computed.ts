/** Layers that have no file of their own but are computed from an elevation layer (`from`): what the screen and the command both need. */
import { fail, ok, type Result } from '../base/result.ts';
import type { LayerEntry } from './schema.ts';

export const isComputed = (entry: LayerEntry): boolean => entry.from !== undefined;

const titleOf = (entry: LayerEntry): string => entry.title ?? entry.id;

/**
 * The elevation layer that a computed one is taken from. A failure where it is not among the layers, or no longer is
 * elevation from a file: the layer stays in the plan and can be computed once it is there again.
 */
export function groundOf(entry: LayerEntry, layers: readonly LayerEntry[]): Result<LayerEntry> {
  const ground = layers.find((l) => l.id === entry.from);
  if (!ground)
    return fail(
      'unreadable',
      titleOf(entry),
      `is computed from the layer "${entry.from ?? ''}", which is not among the layers`,
      'Bring the elevation raster back, or remove this layer.',
    );
  if (ground.definition !== 'elevation' || isComputed(ground))
    return fail(
      'unreadable',
      titleOf(entry),
      `is computed from ${titleOf(ground)}, which is not an elevation raster`,
      'Say that it is elevation, or remove this layer.',
    );
  return ok(ground);
}

/** Files first, then what is computed from them; in the given order otherwise. */
export const openingOrder = (layers: readonly LayerEntry[]): LayerEntry[] => [
  ...layers.filter((l) => !isComputed(l)),
  ...layers.filter(isComputed),
];

/** Those of the layers that are wanted, and those that one of them is computed from. */
export function withGrounds(
  layers: readonly LayerEntry[],
  wanted: (entry: LayerEntry) => boolean,
): LayerEntry[] {
  const grounds = new Set(layers.filter((l) => wanted(l)).flatMap((l) => l.from ?? []));
  return layers.filter((l) => wanted(l) || grounds.has(l.id));
}
