import { addLayers, type Change } from './change.ts';
import { freeId } from './fresh.ts';
import type { LayerEntry, Plan } from './schema.ts';

export interface Wanted {
  /** Id of a definition that derives from elevation. */
  readonly definition: string;
  readonly title: string;
  /** Metres; absent or 0: the eight cells around. */
  readonly radius?: number;
}

/** The layer that is computed from this elevation in this way already; undefined: none. */
export const alreadyDerived = (
  plan: Plan,
  from: string,
  { definition, radius = 0 }: Omit<Wanted, 'title'>,
): LayerEntry | undefined =>
  plan.layers.find((l) => l.from === from && l.definition === definition && (l.radius ?? 0) === radius);

/**
 * Adds layers that are computed from an elevation layer, as one step; those that are there already are left as they are.
 * They are variables of no planting until they are ticked.
 */
export function deriveTerrain(plan: Plan, from: LayerEntry, wanted: readonly Wanted[]): Change {
  const ids = new Set(plan.layers.map((l) => l.id));
  const titles = new Set(plan.layers.map((l) => l.title));
  const entries: LayerEntry[] = [];
  for (const { definition, title, radius = 0 } of wanted) {
    if (alreadyDerived(plan, from.id, { definition, radius })) continue;
    const id = freeId(definition, ids);
    ids.add(id);
    entries.push({
      id,
      definition,
      // From a second elevation layer.
      title: titles.has(title) ? `${title} (${from.title ?? from.id})` : title,
      from: from.id,
      ...(radius > 0 ? { radius } : {}),
      band: 1,
      period: '',
      source: '',
      date: '',
      licence: '',
    });
  }
  return { ...addLayers(plan, entries, []), note: 'Derive terrain' };
}
