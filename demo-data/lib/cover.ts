/** Land cover in the codes of the National Land Cover Database legend, laid over the invented ground. */
import type { Farmstead } from './buildings.ts';
import { FRAME, cellAt, type Local } from './frame.ts';
import { along } from './near.ts';
import { fbm, noise } from './noise.ts';
import { hash2 } from './rng.ts';
import type { Road } from './roads.ts';
import type { Setting, SettingKind } from './settings.ts';
import { COARSE_N, type Terrain } from './terrain.ts';
import { BLOCK, type Town } from './towns.ts';
import { inside } from './zones.ts';

/** Codes used, with the colours of the legend (table in the colour map of the file). */
export const COVER_COLOURS: ReadonlyMap<number, readonly [number, number, number]> = new Map([
  [11, [70, 107, 159]],
  [21, [222, 197, 197]],
  [22, [217, 146, 130]],
  [23, [235, 0, 0]],
  [24, [171, 0, 0]],
  [41, [104, 171, 95]],
  [42, [28, 95, 44]],
  [43, [181, 197, 143]],
  [52, [204, 184, 121]],
  [71, [223, 223, 194]],
  [81, [220, 217, 57]],
  [82, [171, 108, 40]],
  [90, [184, 217, 235]],
]);
export const FOREST = [41, 42, 43, 90];

/** Side of a field, metres. */
const FIELD = 270;

/** Number of the field (jittered square, nearest centre) that holds a place, as a hash in [0, 1). */
function fieldOf(u: number, v: number): number {
  const x = u / FIELD;
  const y = v / FIELD;
  let best = Infinity;
  let id = 0;
  for (let j = Math.floor(y) - 1; j <= Math.floor(y) + 1; j++)
    for (let i = Math.floor(x) - 1; i <= Math.floor(x) + 1; i++) {
      const d = (i + 0.15 + 0.7 * hash2(i, j, 91) - x) ** 2 + (j + 0.15 + 0.7 * hash2(i, j, 92) - y) ** 2;
      if (d < best) {
        best = d;
        id = hash2(i, j, 93);
      }
    }
  return id;
}

function groundCover(terrain: Terrain): Uint8Array {
  const cover = new Uint8Array(FRAME.n * FRAME.n);
  const z = terrain.elevation;
  for (let row = 0, i = 0; row < FRAME.n; row++)
    for (let col = 0; col < FRAME.n; col++, i++) {
      const u = (col + 0.5) * FRAME.cell;
      const v = FRAME.size - (row + 0.5) * FRAME.cell;
      const east = z[i + (col + 2 < FRAME.n ? 2 : 0)] - z[i - (col >= 2 ? 2 : 0)];
      const south = z[i + (row + 2 < FRAME.n ? 2 * FRAME.n : 0)] - z[i - (row >= 2 ? 2 * FRAME.n : 0)];
      const steep = (east * east + south * south) / (4 * FRAME.cell) ** 2;
      const coarse = Math.floor(row / 4) * COARSE_N + Math.floor(col / 4);
      const above = terrain.aboveStream[coarse];
      const mood = fbm(u / 5200, v / 5200, 94, 3);
      const patch = noise(u / 420, v / 420, 95);
      // Farmed: gentle ground near streams, and gentle uplands where the mood of the country is open.
      const farmed = steep < 0.012 && (above < 26 ? mood > -0.32 : mood > 0.24);
      if (farmed) {
        const f = fieldOf(u, v);
        const valley = above < 9;
        cover[i] = f < 0.16 ? 41 : f < 0.2 ? 52 : f < 0.25 ? 71 : f < (valley ? 0.62 : 0.9) ? 81 : 82;
      } else if (above < 3.5 && terrain.toStream[coarse] < 200 && patch > -0.2) cover[i] = 90;
      else {
        const needle = fbm(u / 1300, v / 1300, 96, 3) - 0.0006 * (z[i] - 400);
        cover[i] = needle > 0.44 ? 42 : needle > 0.3 ? 43 : patch > 0.86 ? 52 : 41;
      }
    }
  return cover;
}

const PAINT: Record<SettingKind, (f: number) => number> = {
  'burial ground': () => 21,
  park: () => 21,
  orchard: () => 81,
  campus: (f) => (f < 0.3 ? 22 : 21),
  'old field': (f) => (f < 0.55 ? 71 : 52),
  yard: () => 21,
  'street verge': () => 22,
};

export function makeCover(
  terrain: Terrain,
  water: Uint8Array,
  towns: readonly Town[],
  roads: readonly Road[],
  farmsteads: readonly Farmstead[],
  settings: readonly Setting[],
): Uint8Array {
  const cover = groundCover(terrain);
  const paint = (p: Local, code: number): void => {
    const at = cellAt(p[0], p[1]);
    if (at >= 0) cover[at] = code;
  };
  for (const s of settings) {
    if (s.setting === 'street verge') continue;
    const us = s.ring.map((p) => p[0]);
    const vs = s.ring.map((p) => p[1]);
    for (let v = Math.min(...vs); v <= Math.max(...vs); v += 15)
      for (let u = Math.min(...us); u <= Math.max(...us); u += 15)
        if (inside(s.ring, [u, v]))
          paint([u, v], PAINT[s.setting](hash2(Math.floor(u / 30), Math.floor(v / 30), 97)));
  }
  for (const road of roads)
    if (road.highway !== 'track' && road.highway !== 'service')
      for (const p of along([road.line], 12)) paint(p, 21);
  for (const f of farmsteads)
    for (let d = -30; d <= 30; d += 30) {
      paint([f.house[0] + d, f.house[1]], 21);
      paint([f.house[0], f.house[1] + d], d === 0 ? 22 : 21);
    }
  for (const town of towns) {
    const reach = (town.half + 0.6) * BLOCK;
    for (let t = -reach; t <= reach; t += 14)
      for (let s = -reach; s <= reach; s += 14) {
        const p: Local = [
          town.centre[0] + town.along[0] * s - town.along[1] * t,
          town.centre[1] + town.along[1] * s + town.along[0] * t,
        ];
        const far =
          Math.max(Math.abs(s), Math.abs(t)) / reach +
          0.22 * (hash2(Math.floor(p[0] / 60), Math.floor(p[1] / 60), 98) - 0.5);
        paint(p, far < 0.2 ? 24 : far < 0.5 ? 23 : far < 0.92 ? 22 : 21);
      }
  }
  for (let i = 0; i < cover.length; i++) if (water[i]) cover[i] = 11;
  return cover;
}
