import { layerDefinition } from '../../../../layers/index.ts';
import type { LayerDefinition, Transform, Unit } from '../../../domain/layers/definition.ts';
import type { LayerEntry, Plan, Planting } from '../../../domain/plan/schema.ts';
import { titleOf } from './variableWords.ts';

export interface Chosen {
  readonly layer: LayerEntry;
  readonly definition: LayerDefinition;
  readonly title: string;
  readonly unit: Unit;
  readonly transform: Transform;
}

/** The variables of a planting as the plan has them, whether they can be compared or not, in the planting's order. */
export const chosenIn = (plan: Plan, p: Planting): Chosen[] =>
  p.variables.flatMap((id) => {
    const layer = plan.layers.find((l) => l.id === id);
    const definition = layer && layerDefinition(layer.definition);
    if (!layer || !definition) return [];
    return [
      {
        layer,
        definition,
        title: titleOf(layer),
        unit: definition.unit ?? '1',
        transform: p.transforms[id] ?? definition.transform,
      },
    ];
  });
