import type { LayerDefinition } from '../../layers/definition.ts';
import type { LayerEntry } from '../../plan/schema.ts';
import { twinsOf, type VariableChoice } from './chosenVariables.ts';

export interface Pairing {
  /** Read at the candidates. */
  readonly layer: LayerEntry;
  /** Layers of the same definition in the period of the site: with one the variable can be compared, else it is refused. */
  readonly twins: readonly LayerEntry[];
}

/** The chosen climate variables with what the site is read from, in the planting's order. */
export function pairing(
  planting: VariableChoice,
  layers: readonly LayerEntry[],
  definitionOf: (id: string) => LayerDefinition | undefined,
): Pairing[] {
  return planting.variables.flatMap((id) => {
    const layer = layers.find((l) => l.id === id);
    const definition = layer && definitionOf(layer.definition);
    if (!layer || definition?.role !== 'climate') return [];
    return [{ layer, twins: twinsOf(layer, definition, planting.sitePeriod, layers) }];
  });
}
