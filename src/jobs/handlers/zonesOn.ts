import { zoneIndex, type ZoneIndex } from '../../domain/layers/zones.ts';
import { layersOf, type Desk, type OpenLayer } from './desk.ts';
import type { ZoneShapes } from './referenceCells.ts';

/** The zones layer that is used: the first in the plan. */
export const zonesLayer = (desk: Desk): OpenLayer | undefined => layersOf(desk, 'zones')[0];

/** The zones that are used, as reference cells are drawn in them; null without any. */
export function zoneShapes(desk: Desk): ZoneShapes | null {
  const layer = zonesLayer(desk);
  if (!layer?.zones) return null;
  return {
    id: layer.entry.id,
    names: layer.zones.map((z) => z.name || z.key),
    shapes: layer.zones.map((z) => z.area.geometry),
  };
}

/** Which zone holds a place, for the zones layer that is used; made once. null without one. */
export function zonesOn(desk: Desk): ZoneIndex | null {
  const layer = zonesLayer(desk);
  if (!layer?.zones) return null;
  const memo = `zone index ${layer.entry.id}`;
  const held = desk.memo.get(memo) as ZoneIndex | undefined;
  if (held) return held;
  const made = zoneIndex(layer.zones);
  desk.memo.set(memo, made);
  return made;
}
