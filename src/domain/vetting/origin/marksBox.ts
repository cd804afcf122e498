import { boxAround } from '../../base/box.ts';
import { geodesicRing } from '../../base/geodesy.ts';
import type { Box, Place } from '../../base/geo.ts';
import type { EvidenceMark } from './marks.ts';

/** Ground about the tree that is always in sight, and how far off what is nearest may lie to be in it, metres. */
const ABOUT = 130;
const FAR = 500;

/** The ground on which most of what is drawn about a tree can be seen at once. */
export function marksBox({ lon, lat }: Place, marks: readonly EvidenceMark[]): Box {
  const feet = marks.flatMap((m) => (m.kind === 'link' && m.metres <= FAR ? [m.to] : []));
  return boxAround([...geodesicRing(lon, lat, ABOUT), ...feet].map((p) => [p.lon, p.lat] as const));
}
