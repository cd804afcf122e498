import { FRAME, cellAt } from './frame.ts';
import type { Terrain } from './terrain.ts';

/** 1 where a fine cell is open water: streams drawn as wide as their upstream area makes them. */
export function makeWater(terrain: Terrain): Uint8Array {
  const water = new Uint8Array(FRAME.n * FRAME.n);
  for (const line of terrain.rivers)
    for (let k = 1; k < line.length; k++) {
      const [u0, v0, area] = line[k - 1];
      const [u1, v1] = line[k];
      const radius = Math.min(95, 9 + Math.sqrt(area) * 0.17);
      const steps = Math.ceil(Math.sqrt((u1 - u0) ** 2 + (v1 - v0) ** 2) / 12);
      for (let s = 0; s <= steps; s++) {
        const u = u0 + ((u1 - u0) * s) / steps;
        const v = v0 + ((v1 - v0) * s) / steps;
        for (let dv = -radius; dv <= radius; dv += 14)
          for (let du = -radius; du <= radius; du += 14) {
            if (du * du + dv * dv > radius * radius) continue;
            const at = cellAt(u + du, v + dv);
            if (at >= 0) water[at] = 1;
          }
      }
    }
  return water;
}
