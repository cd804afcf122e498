import type { MultiPolygon } from '../base/geo.ts';
import { edgesOf } from './edges.ts';
import { meetings } from './meetings.ts';
import { retrace } from './retrace.ts';
import { areaOf, SAME_AREA } from './rings.ts';

/** Degrees (about a tenth of a metre): lines rounded to six decimals are the same line. */
const NEAR = 1e-6;

/**
 * Polygons of one area drawn as one where they run along one another: the line between them falls away, so that it is neither
 * drawn nor taken for a boundary. That is done only where the area stays the same within a ten-thousandth; polygons that lie
 * apart, meet in points, or lie over one another stay side by side (ground in either of them is ground of the area all the
 * same). Shapes that need nothing are the same objects.
 */
export function dissolve(shapes: readonly MultiPolygon[]): { shapes: MultiPolygon[]; joined: number } {
  const out = [...shapes];
  // Areas of one polygon have nothing to join: they need not be looked at.
  const several = shapes.map((s) => (s.length > 1 ? s : []));
  if (several.every((s) => s.length === 0)) return { shapes: out, joined: 0 };
  const edges = edgesOf(several);
  const touching = new Set<number>();
  meetings(edges, NEAR, (m) => {
    if (m.kind === 'overlap' && edges.ring[m.i] !== edges.ring[m.j]) touching.add(edges.owner[m.i]);
    return true;
  });
  let joined = 0;
  for (const owner of touching) {
    const anew = retrace(shapes[owner], NEAR);
    const before = areaOf(shapes[owner]);
    if (anew === null || Math.abs(areaOf(anew) - before) > SAME_AREA * before) continue;
    out[owner] = anew;
    joined++;
  }
  return { shapes: out, joined };
}
