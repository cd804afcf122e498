import { FRAME, cellAt, type Local } from './frame.ts';
import { Near } from './near.ts';
import { hash2, rng, type Rng } from './rng.ts';
import type { Road } from './roads.ts';
import type { Terrain } from './terrain.ts';
import { BLOCK, blockYear, campusOf, inTown, type Town } from './towns.ts';

export interface Building {
  readonly kind: 'house' | 'barn' | 'shed' | 'commercial' | 'church' | 'school';
  readonly centre: Local;
  readonly ring: readonly Local[];
  /** Year in which it was built. */
  readonly built: number;
}

/** A house in the country with its yard; the lane joins it to a road vertex. */
export interface Farmstead {
  readonly house: Local;
  readonly gate: Local;
  readonly along: Local;
  readonly built: number;
  /** It has a yard polygon among the settings. */
  readonly yard: boolean;
}

/** Farmsteads with a yard polygon: the first so many. */
const YARDS = 420;
export const FARMSTEADS = 900;

function box(centre: Local, along: Local, length: number, width: number): Local[] {
  const [a, b] = along;
  const at = (s: number, t: number): Local => [
    centre[0] + (a * s * length - b * t * width) / 2,
    centre[1] + (b * s * length + a * t * width) / 2,
  ];
  return [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1), at(-1, -1)];
}

/** Unit vector of a chord, by exactly rounded operations. */
export function unit(a: Local, b: Local): Local {
  const d = Math.sqrt((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) || 1;
  return [(b[0] - a[0]) / d, (b[1] - a[1]) / d];
}

/** Some houses of a block are later ones. */
const laterThan = (year: number, [u, v]: Local): number =>
  Math.min(2015, year + Math.round(40 * hash2(Math.round(u), Math.round(v), 411) ** 3));

/** Old farms, and houses of the last two generations. */
function farmYear([u, v]: Local): number {
  const [old, t] = [hash2(Math.round(u), Math.round(v), 412), hash2(Math.round(u), Math.round(v), 413)];
  return old < 0.5 ? Math.round(1832 + 95 * t) : Math.round(1948 + 62 * t);
}

function townBuildings(town: Town, random: Rng, dry: (p: Local) => boolean): Building[] {
  const out: Building[] = [];
  const reach = (town.half + 0.4) * BLOCK;
  for (let axis = 0; axis < 2; axis++)
    for (let street = -town.half; street <= town.half; street++)
      for (let s = -reach + 20; s < reach; s += 21) {
        // Lots face one street; corners stay free.
        if (Math.abs(((s + 1000 * BLOCK) % BLOCK) - BLOCK / 2) > BLOCK / 2 - 18) continue;
        for (const side of [-1, 1]) {
          if (axis === 1 && Math.abs(((s + 1000 * BLOCK) % BLOCK) - BLOCK / 2) > 18) continue;
          const far = Math.max(Math.abs(street * BLOCK), Math.abs(s)) / reach;
          if (!random.chance(0.95 - 0.4 * far)) continue;
          const core = far < 0.28;
          const length = core ? random.between(14, 19) : random.between(9, 15);
          const width = core ? random.between(14, 26) : random.between(8, 12);
          const set = side * ((core ? 9 : 12) + width / 2 + random.between(0, 3));
          const centre =
            axis === 0 ? inTown(town, street * BLOCK + set, s) : inTown(town, s, street * BLOCK + set);
          if (!dry(centre)) continue;
          const along: Local = axis === 0 ? town.along : [-town.along[1], town.along[0]];
          const kind = core ? 'commercial' : random.chance(0.01) ? 'church' : 'house';
          const block = (t: number): number =>
            Math.max(-town.half, Math.min(town.half - 1, Math.floor(t / BLOCK)));
          const [across, ahead] = axis === 0 ? [street * BLOCK + set, s] : [s, street * BLOCK + set];
          const built = laterThan(blockYear(town, block(across), block(ahead)), centre);
          out.push({ kind, centre, built, ring: box(centre, along, length, width) });
        }
      }
  return out;
}

export function makeBuildings(
  terrain: Terrain,
  water: Uint8Array,
  towns: readonly Town[],
  roads: readonly Road[],
): { buildings: Building[]; farmsteads: Farmstead[]; lanes: Road[] } {
  const random = rng('buildings');
  const dry = (p: Local): boolean => {
    const at = cellAt(p[0], p[1]);
    return at >= 0 && !water[at];
  };
  const buildings = towns.flatMap((t) => townBuildings(t, random, dry));
  // College halls around the middle of a campus.
  for (const town of towns.slice(0, 2))
    for (const [s, t] of [
      [-75, -60],
      [-75, 20],
      [0, 75],
      [60, 30],
      [15, -80],
    ] as const) {
      const [u, v] = campusOf(town);
      const [a, b] = town.along;
      const centre: Local = [u + a * s - b * t, v + b * s + a * t];
      if (dry(centre))
        buildings.push({
          kind: 'school',
          centre,
          built: laterThan(town.half === 5 ? 1926 : 1961, centre),
          ring: box(centre, town.along, 42, 18),
        });
    }
  const farmsteads: Farmstead[] = [];
  const lanes: Road[] = [];
  const taken = new Near(400);
  for (const b of buildings) taken.add(b.centre);
  const country = roads.filter(
    (r) =>
      ['secondary', 'tertiary', 'unclassified'].includes(r.highway) &&
      r.line.length > 3 &&
      !r.name.startsWith('Main '),
  );
  for (let tries = 0; farmsteads.length < FARMSTEADS && tries < 40 * FARMSTEADS; tries++) {
    const road = random.pick(country);
    const k = random.int(1, road.line.length - 2);
    const gate = road.line[k];
    const [a, b] = unit(road.line[k - 1], road.line[k + 1]);
    const side = random.chance(0.5) ? 1 : -1;
    const far = random.chance(0.55) ? random.between(22, 45) : random.between(60, 210);
    const house: Local = [gate[0] - b * far * side, gate[1] + a * far * side];
    const at = cellAt(house[0], house[1]);
    const next = cellAt(house[0] + 60, house[1] + 60);
    if (at < 0 || next < 0 || !dry(house) || Math.abs(terrain.elevation[at] - terrain.elevation[next]) > 14)
      continue;
    if (
      taken.within(house, 70) ||
      house[0] < 300 ||
      house[1] < 300 ||
      house[0] > FRAME.size - 300 ||
      house[1] > FRAME.size - 300
    )
      continue;
    taken.add(house);
    const built = farmYear(house);
    farmsteads.push({ house, gate, along: [a, b], built, yard: farmsteads.length < YARDS });
    buildings.push({
      kind: 'house',
      centre: house,
      built,
      ring: box(house, [a, b], random.between(10, 15), random.between(8, 11)),
    });
    const sheds = far > 50 ? random.int(1, 3) : random.int(0, 1);
    for (let s = 0; s < sheds; s++) {
      const out: Local = [
        house[0] - b * side * (24 + 16 * s) + a * (s - 1) * 26,
        house[1] + a * side * (24 + 16 * s) + b * (s - 1) * 26,
      ];
      if (dry(out))
        buildings.push({
          kind: s === 0 ? 'barn' : 'shed',
          centre: out,
          built: laterThan(built, out),
          ring: box(out, [a, b], random.between(9, 24), random.between(7, 12)),
        });
    }
    if (far > 50)
      lanes.push({
        highway: 'service',
        name: '',
        maxspeed: '',
        oneway: 'no',
        surface: 'gravel',
        access: 'private',
        line: [
          gate,
          [(gate[0] + house[0]) / 2 + a * 6, (gate[1] + house[1]) / 2 + b * 6],
          [house[0] + a * 9, house[1] + b * 9],
        ],
      });
  }
  return { buildings, farmsteads, lanes };
}
