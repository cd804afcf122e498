import { fail, ok, type Result } from '../../base/result.ts';
import type { LayerDefinition } from '../../layers/definition.ts';
import type { LayerEntry, Planting } from '../../plan/schema.ts';
import type { ChosenVariable } from './types.ts';

/** The parts of a planting that decide which layers its match is read from, and how. */
export type VariableChoice = Pick<Planting, 'variables' | 'sitePeriod' | 'transforms'>;

/**
 * The layers of one definition in the period of the sites: a variable pairs by its definition (name and unit). Terrain and
 * soil have no period and pair with themselves.
 */
export function twinsOf(
  layer: LayerEntry,
  definition: LayerDefinition,
  sitePeriod: string,
  layers: readonly LayerEntry[],
): readonly LayerEntry[] {
  if (sitePeriod === '' || definition.role !== 'climate' || layer.period === sitePeriod) return [layer];
  return layers.filter((l) => l.definition === layer.definition && l.period === sitePeriod);
}

/**
 * The variables of a planting with the layers they are read from, in the planting's order.
 *
 * Failures, all 'variables': none chosen; one that is no raster of numbers; one without a layer, or with several, in the
 * period that the sites are read from.
 * @param definitionOf the definition of a layer, by its id in the plan's entry.
 */
export function chosenVariables(
  planting: VariableChoice,
  layers: readonly LayerEntry[],
  definitionOf: (id: string) => LayerDefinition | undefined,
): Result<ChosenVariable[]> {
  if (planting.variables.length === 0)
    return fail(
      'variables',
      'Match',
      'no variable is chosen',
      'Choose at least one climate, terrain or soil layer.',
    );
  const chosen: ChosenVariable[] = [];
  for (const id of planting.variables) {
    const layer = layers.find((l) => l.id === id);
    const definition = layer && definitionOf(layer.definition);
    if (!layer || definition?.sampling !== 'bilinear')
      return fail('variables', id, 'is no raster of numbers', 'Choose another layer as a variable.');
    const title = layer.title ?? definition.title;
    const twins = twinsOf(layer, definition, planting.sitePeriod, layers);
    if (twins.length !== 1)
      return fail(
        'variables',
        title,
        `has ${twins.length === 0 ? 'no layer' : `${twins.length} layers`} of the period ${planting.sitePeriod} for the site`,
        twins.length === 0
          ? 'Add it, leave this variable out, or read the site from the same period.'
          : 'Keep one of them, or give them periods of their own.',
      );
    chosen.push({
      variable: {
        id,
        title,
        unit: definition.unit ?? '1',
        transform: planting.transforms[id] ?? definition.transform,
        period: layer.period,
        words: definition.words ?? ['more', 'less'],
      },
      role: definition.role,
      layer,
      siteLayer: twins[0],
    });
  }
  return ok(chosen);
}
