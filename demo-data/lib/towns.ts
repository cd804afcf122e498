import { FRAME, cellAt, type Local } from './frame.ts';
import { hash2 } from './rng.ts';
import { COARSE, COARSE_N, type Terrain } from './terrain.ts';

export interface Town {
  readonly name: string;
  readonly centre: Local;
  /** Streets on either side of the main ones: the grid is (2 half + 1) squared. */
  readonly half: number;
  /** Unit vector of the first main street. */
  readonly along: Local;
}

/** Metres between parallel streets. */
export const BLOCK = 115;

/** Plainly invented names, largest town first. */
const NAMES: ReadonlyArray<readonly [name: string, half: number]> = [
  ['Figment', 5],
  ['Paperwick', 4],
  ['Inkblot Mills', 3],
  ['Conjecture', 3],
  ['Lesser Notion', 2],
  ['Makebelieve', 2],
];
const APART = 14_000;

/** Local metres of a place in a town's street grid. */
export function inTown(town: Town, across: number, along: number): Local {
  const [a, b] = town.along;
  return [town.centre[0] + a * along - b * across, town.centre[1] + b * along + a * across];
}

/** Middle of the campus of a town that has one, off the ways out of town. */
export const campusOf = (town: Town): Local =>
  inTown(town, -((town.half + 0.9) * BLOCK + 170), 0.62 * town.half * BLOCK);

/** Unit vectors with exact arithmetic: Pythagorean triples. */
const HEADINGS: readonly Local[] = [
  [4 / 5, 3 / 5],
  [12 / 13, 5 / 13],
  [15 / 17, 8 / 17],
  [12 / 13, -5 / 13],
  [24 / 25, 7 / 25],
  [15 / 17, -8 / 17],
];

/** The flattest ground near streams but above their floods, well apart. */
export function makeTowns(terrain: Terrain, water: Uint8Array): Town[] {
  const spots: Array<{ place: Local; score: number }> = [];
  for (let v = 5000; v <= FRAME.size - 5000; v += 400)
    for (let u = 5000; u <= FRAME.size - 5000; u += 400) {
      let low = Infinity;
      let high = -Infinity;
      let wet = 0;
      for (let dv = -700; dv <= 700; dv += 140)
        for (let du = -700; du <= 700; du += 140) {
          const at = cellAt(u + du, v + dv);
          const z = terrain.elevation[at];
          low = Math.min(low, z);
          high = Math.max(high, z);
          wet += water[at];
        }
      const coarse = Math.floor((FRAME.size - v) / COARSE) * COARSE_N + Math.floor(u / COARSE);
      const far = terrain.toStream[coarse];
      spots.push({ place: [u, v], score: high - low + 4 * wet + far / 60 + 6 * hash2(u, v, 51) });
    }
  spots.sort((a, b) => a.score - b.score);
  const towns: Town[] = [];
  for (const { place } of spots) {
    if (towns.length === NAMES.length) break;
    if (towns.some((t) => (t.centre[0] - place[0]) ** 2 + (t.centre[1] - place[1]) ** 2 < APART * APART))
      continue;
    const [name, half] = NAMES[towns.length];
    towns.push({ name, half, centre: place, along: HEADINGS[towns.length] });
  }
  return towns;
}

/** Year in which a block of a town was first built over: the middle first, the outermost last. */
export function blockYear(town: Town, i: number, j: number): number {
  const far = Math.max(Math.abs(i + 0.5), Math.abs(j + 0.5)) / town.half;
  return Math.round(1838 + 135 * far + 24 * (hash2(i + 50, j + 50, 401 + town.half) - 0.5));
}
