import type { Line, Place } from '../base/geo.ts';
import { localFrame } from '../base/localFrame.ts';

/** The parts of lines that lie within `metres` of a place, cut where they leave the circle (in the plane at the place). */
export function nearPart(lines: readonly Line[], { lon, lat }: Place, metres: number): Line[] {
  const { lonMetres, latMetres } = localFrame(lat);
  const parts: Array<Array<readonly [number, number]>> = [];
  for (const line of lines) {
    let open = false;
    for (let i = 1; i < line.length; i++) {
      const [a, b] = [line[i - 1], line[i]];
      const [ax, ay] = [(a[0] - lon) * lonMetres, (a[1] - lat) * latMetres];
      const [ux, uy] = [(b[0] - a[0]) * lonMetres, (b[1] - a[1]) * latMetres];
      // |a + t u|² <= metres² is a quadratic in t.
      const uu = ux * ux + uy * uy;
      const middle = -(ax * ux + ay * uy) / uu;
      const root = middle * middle - (ax * ax + ay * ay - metres * metres) / uu;
      const half = Math.sqrt(root);
      const [from, to] = [Math.max(0, middle - half), Math.min(1, middle + half)];
      if (!(from < to)) {
        open = false;
        continue;
      }
      const at = (t: number): readonly [number, number] =>
        t === 0 ? a : t === 1 ? b : [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
      if (open && from === 0) parts[parts.length - 1].push(at(to));
      else parts.push([at(from), at(to)]);
      open = to === 1;
    }
  }
  return parts;
}
