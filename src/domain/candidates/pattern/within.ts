import type { PlaneWindow } from './types.ts';

/** Of the size of the window: how near to its edge a place counts as on it, which is inside. */
const ON_EDGE = 1e-9;

/** Whether a place lies in the window or on its edge (even-odd rule over all rings). */
export function within({ polygons, perimeter }: PlaneWindow, x: number, y: number): boolean {
  let inside = false;
  const near = (ON_EDGE * perimeter) ** 2;
  for (const ring of polygons.flat()) {
    for (let i = 0; i < ring.length; i++) {
      const [ax, ay] = ring[i];
      const [bx, by] = ring[(i + 1) % ring.length];
      if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
      const [ux, uy] = [bx - ax, by - ay];
      const uu = ux * ux + uy * uy;
      const t = uu > 0 ? Math.max(0, Math.min(1, ((x - ax) * ux + (y - ay) * uy) / uu)) : 0;
      if ((x - ax - t * ux) ** 2 + (y - ay - t * uy) ** 2 <= near) return true;
    }
  }
  return inside;
}
