/** In which order the layers of a plan are drawn, bottom first: as the user put them, the rest by what they are. */
import { layerDefinition } from '../../layers/index.ts';
import type { Role } from '../domain/layers/definition.ts';
import type { LayerEntry } from '../domain/plan/schema.ts';
import type { Session } from './session.svelte.ts';

/** Pictures of the ground lie beneath all that is drawn with lines. */
export const isPicture = (entry: Pick<LayerEntry, 'definition'>): boolean =>
  layerDefinition(entry.definition)?.geometry === 'raster';

const ROLES: readonly Role[] = [
  'terrain',
  'land cover',
  'soil',
  'climate',
  'range',
  'settings',
  'barrier',
  'buildings',
  'roads',
  'inventory',
  'zones',
  'candidates',
];

/** The relief of the ground lies beneath all, what is computed from it too. */
const usual = (entry: LayerEntry): number => {
  if (entry.definition === 'elevation') return -1;
  const role = layerDefinition(entry.definition)?.role;
  return role === undefined ? ROLES.length : ROLES.indexOf(role);
};

/** @param order ids as the user put them, bottom first; layers that came later take their usual place among them. */
export function drawOrder(layers: readonly LayerEntry[], order: readonly string[]): LayerEntry[] {
  const byId = new Map(layers.map((l) => [l.id, l]));
  const placed = order.flatMap((id) => byId.get(id) ?? []);
  const known = new Set(order);
  // Of one sort, the first of the plan lies on top, as it stands first in the list.
  const rest = layers
    .filter((l) => !known.has(l.id))
    .toReversed()
    .sort((a, b) => usual(a) - usual(b));
  for (const layer of rest) {
    // Over the last one that it usually lies over.
    const below = placed.findLastIndex((p) => usual(p) <= usual(layer));
    placed.splice(below + 1, 0, layer);
  }
  return [...placed.filter(isPicture), ...placed.filter((l) => !isPicture(l))];
}

/** The order after one layer went over (1) or under (-1) its neighbour of the same sort; the same where it is at the end. */
export function moved(
  layers: readonly LayerEntry[],
  order: readonly string[],
  id: string,
  by: 1 | -1,
): string[] {
  const now = drawOrder(layers, order);
  const at = now.findIndex((l) => l.id === id);
  const other = now[at + by] as LayerEntry | undefined;
  if (at < 0 || !other || isPicture(other) !== isPicture(now[at])) return now.map((l) => l.id);
  [now[at], now[at + by]] = [other, now[at]];
  return now.map((l) => l.id);
}

/** Values lie over the relief of the ground and let it show through; the rest is opaque, unless the user says otherwise. */
export function opacityOf(session: Session, entry: Pick<LayerEntry, 'id' | 'definition'>): number {
  const usually = isPicture(entry) && entry.definition !== 'elevation' ? 0.72 : 1;
  return session.opacity[entry.id] ?? usually;
}
