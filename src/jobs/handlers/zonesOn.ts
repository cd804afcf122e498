import { zoneIndex, type ZoneIndex } from '../../domain/layers/zones.ts';
import { layersOf, type Desk } from './desk.ts';

const MEMO = 'zone index';

/** Which zone holds a place, for the open zones layer; made once. null without one. */
export function zonesOn(desk: Desk): ZoneIndex | null {
  const [layer] = layersOf(desk, 'zones');
  if (!layer?.zones) return null;
  const held = desk.memo.get(MEMO) as ZoneIndex | undefined;
  if (held) return held;
  const made = zoneIndex(layer.zones);
  desk.memo.set(MEMO, made);
  return made;
}
