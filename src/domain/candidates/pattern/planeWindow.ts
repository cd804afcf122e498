import type { PlaneWindow } from './types.ts';

/** A window of polygons with its area (holes taken off) and its perimeter (edges of holes counted). Which way rings run does not matter. */
export function planeWindow(polygons: PlaneWindow['polygons']): PlaneWindow {
  let area = 0;
  let perimeter = 0;
  for (const rings of polygons) {
    rings.forEach((ring, r) => {
      let twice = 0;
      ring.forEach(([x, y], i) => {
        const [nextX, nextY] = ring[(i + 1) % ring.length];
        // Relative to the first corner: coordinates of a projected system are large and their products lose digits.
        twice += (x - ring[0][0]) * (nextY - ring[0][1]) - (nextX - ring[0][0]) * (y - ring[0][1]);
        perimeter += Math.hypot(nextX - x, nextY - y);
      });
      area += ((r === 0 ? 1 : -1) * Math.abs(twice)) / 2;
    });
  }
  return { polygons, area, perimeter };
}
