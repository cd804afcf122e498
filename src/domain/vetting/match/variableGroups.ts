/** Which layers can be variables, in the groups that they are chosen in. */
import type { LayerDefinition } from '../../layers/definition.ts';
import type { LayerEntry } from '../../plan/schema.ts';

type DefinitionOf = (id: string) => LayerDefinition | undefined;

const ROLES = ['climate', 'terrain', 'soil'] as const;

export interface VariableGroup {
  readonly role: (typeof ROLES)[number];
  /** Years that climate describes; '' for terrain and soil, and where the layer does not say. */
  readonly period: string;
  readonly layers: readonly LayerEntry[];
}

/** Rasters of numbers by role, climate by period as well, the earliest first; within a group in the plan's order. */
export function variableGroups(layers: readonly LayerEntry[], definitionOf: DefinitionOf): VariableGroup[] {
  return ROLES.flatMap((role) => {
    const own = layers.filter((l) => {
      const definition = definitionOf(l.definition);
      return definition?.role === role && definition.sampling === 'bilinear';
    });
    const periods = role === 'climate' ? [...new Set(own.map((l) => l.period))].sort() : [''];
    return periods
      .map((period) => ({
        role,
        period,
        layers: own.filter((l) => role !== 'climate' || l.period === period),
      }))
      .filter((group) => group.layers.length > 0);
  });
}

/**
 * The variables to begin with: terrain and soil, and of each climate variable the earliest period, in which candidates live.
 * Its layers of later periods are what the site may be read from.
 */
export function usualVariables(layers: readonly LayerEntry[], definitionOf: DefinitionOf): string[] {
  const taken = new Map<string, string>();
  const usual = new Set<string>();
  for (const { role, period, layers: own } of variableGroups(layers, definitionOf))
    for (const l of own) {
      if (role === 'climate' && (taken.get(l.definition) ?? period) !== period) continue;
      taken.set(l.definition, period);
      usual.add(l.id);
    }
  return layers.filter((l) => usual.has(l.id)).map((l) => l.id);
}

/** Chosen climate layers of one definition, where more than one of it is chosen: one thing compared several times. */
export function chosenSeveralTimes(
  chosen: readonly string[],
  layers: readonly LayerEntry[],
  definitionOf: DefinitionOf,
): LayerEntry[][] {
  const byDefinition = new Map<string, LayerEntry[]>();
  for (const l of layers)
    if (chosen.includes(l.id) && definitionOf(l.definition)?.role === 'climate')
      byDefinition.set(l.definition, [...(byDefinition.get(l.definition) ?? []), l]);
  return [...byDefinition.values()].filter((same) => same.length > 1);
}
