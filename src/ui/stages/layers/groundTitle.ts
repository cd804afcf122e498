import { layerDefinition } from '../../../../layers/index.ts';
import type { LayerEntry } from '../../../domain/plan/schema.ts';

/** Title of the layer that another is computed from, its id where it is gone; '' for a layer with a file of its own. */
export function groundTitle(layers: readonly LayerEntry[], entry: LayerEntry): string {
  if (entry.from === undefined) return '';
  const ground = layers.find((l) => l.id === entry.from);
  return ground?.title ?? (ground && layerDefinition(ground.definition)?.title) ?? entry.from;
}
