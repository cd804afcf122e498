/** The invented ground, complete, and the questions that the placing of trees asks of it. */
import { makeBuildings, type Building, type Farmstead } from './buildings.ts';
import { VARIABLES, climateAt, makeClimate, type Climate } from './climate.ts';
import { FOREST, makeCover } from './cover.ts';
import { FRAME, cellAt, type Local } from './frame.ts';
import { makeInventory, type InventoryTree } from './inventory.ts';
import { Near, along } from './near.ts';
import { makeRanges, type Range } from './ranges.ts';
import { makeRoads, type Road } from './roads.ts';
import { makeSettings, type Setting } from './settings.ts';
import { COARSE, COARSE_N, makeTerrain, type Terrain } from './terrain.ts';
import { makeTowns, type Town } from './towns.ts';
import { makeWater } from './water.ts';
import { inside, makeZones, type DemoZone } from './zones.ts';

export interface Ground {
  readonly terrain: Terrain;
  readonly towns: readonly Town[];
  readonly roads: readonly Road[];
  readonly buildings: readonly Building[];
  readonly farmsteads: readonly Farmstead[];
  readonly settings: readonly Setting[];
  readonly cover: Uint8Array;
  readonly climate: Climate;
  readonly zones: readonly DemoZone[];
  readonly ranges: readonly Range[];
  readonly inventory: readonly InventoryTree[];
  elevation(p: Local): number;
  coverAt(p: Local): number;
  aboveStream(p: Local): number;
  /** Key of the zone, '' outside all. */
  zoneOf(p: Local): string;
  inRange(species: string, p: Local): boolean;
  /** Share of cells of forest, and of developed land, within a square of so many metres each way. */
  shares(p: Local, metres: number): { forest: number; developed: number };
  toBuilding(p: Local): number;
  toRoad(p: Local): number;
  toDrivable(p: Local): number;
  /** About the match of two places in the present climate (four variables, spread within zones). */
  match(a: Local, b: Local): number;
}

export function makeGround(): Ground {
  const terrain = makeTerrain();
  const water = makeWater(terrain);
  const towns = makeTowns(terrain, water);
  const bare = makeRoads(terrain, water, towns);
  const { buildings, farmsteads, lanes } = makeBuildings(terrain, water, towns, bare);
  const roads = [...bare, ...lanes];
  const settings = makeSettings(water, towns, bare, farmsteads);
  const cover = makeCover(terrain, water, towns, roads, farmsteads, settings);
  const climate = makeClimate(terrain.elevation);
  const zones = makeZones();
  const ranges = makeRanges();
  const nearBuilding = new Near(
    300,
    buildings.map((b) => b.centre),
  );
  const nearRoad = new Near(
    300,
    along(
      roads.map((r) => r.line),
      25,
    ),
  );
  const nearDrivable = new Near(
    500,
    along(
      roads.filter((r) => r.access !== 'private' && r.highway !== 'track').map((r) => r.line),
      50,
    ),
  );
  const zoneOf = (p: Local): string => zones.find((z) => inside(z.ring, p))?.key ?? '';
  const reading = (p: Local): number[] =>
    VARIABLES.map((name) => {
      const x = climateAt(climate['1991-2020'][name], p[0], p[1]);
      return name === 'annual-precipitation' ? Math.log(x) : x;
    });
  const factor = spreadFactor(zoneOf, reading);
  return {
    terrain,
    towns,
    roads,
    buildings,
    farmsteads,
    settings,
    cover,
    climate,
    zones,
    ranges,
    inventory: makeInventory(settings),
    elevation: (p) => terrain.elevation[cellAt(p[0], p[1])],
    coverAt: (p) => cover[cellAt(p[0], p[1])],
    aboveStream: (p) =>
      terrain.aboveStream[Math.floor((FRAME.size - p[1]) / COARSE) * COARSE_N + Math.floor(p[0] / COARSE)],
    zoneOf,
    inRange: (species, p) => ranges.some((r) => r.species === species && inside(r.ring, p)),
    shares: (p, metres) => {
      let cells = 0;
      let forest = 0;
      let developed = 0;
      for (let dv = -metres; dv <= metres; dv += FRAME.cell)
        for (let du = -metres; du <= metres; du += FRAME.cell) {
          const at = cellAt(p[0] + du, p[1] + dv);
          if (at < 0) continue;
          cells++;
          if (FOREST.includes(cover[at])) forest++;
          if (cover[at] >= 21 && cover[at] <= 24) developed++;
        }
      return { forest: forest / cells, developed: developed / cells };
    },
    toBuilding: (p) => nearBuilding.distance(p, 1500),
    toRoad: (p) => nearRoad.distance(p, 1500),
    toDrivable: (p) => nearDrivable.distance(p, 3000),
    match: (a, b) => {
      const ra = reading(a);
      const rb = reading(b);
      const y: number[] = [];
      // Forward substitution: D² = |L⁻¹ d|² / 2 with S = L Lᵀ.
      for (let i = 0; i < 4; i++) {
        let s = ra[i] - rb[i];
        for (let j = 0; j < i; j++) s -= factor[i * 4 + j] * y[j];
        y.push(s / factor[i * 4 + i]);
      }
      const half = y.reduce((sum, t) => sum + t * t, 0) / 4;
      // Chi-square with four degrees of freedom has this closed form.
      return Math.exp(-half) * (1 + half);
    },
  };
}

/** Cholesky factor of the covariance of the four variables within zones, on every third climate cell. */
function spreadFactor(zoneOf: (p: Local) => string, reading: (p: Local) => number[]): number[] {
  const groups = new Map<string, number[][]>();
  for (let v = FRAME.climateCell; v < FRAME.size; v += 3 * FRAME.climateCell)
    for (let u = FRAME.climateCell; u < FRAME.size; u += 3 * FRAME.climateCell) {
      const key = zoneOf([u, v]);
      if (key) groups.set(key, [...(groups.get(key) ?? []), reading([u, v])]);
    }
  const s = new Array<number>(16).fill(0);
  let cells = 0;
  for (const rows of groups.values()) {
    const mean = [0, 1, 2, 3].map((i) => rows.reduce((sum, r) => sum + r[i], 0) / rows.length);
    for (const r of rows)
      for (let i = 0; i < 4; i++)
        for (let j = 0; j < 4; j++) s[i * 4 + j] += (r[i] - mean[i]) * (r[j] - mean[j]);
    cells += rows.length;
  }
  const l = new Array<number>(16).fill(0);
  for (let i = 0; i < 4; i++)
    for (let j = 0; j <= i; j++) {
      let sum = s[i * 4 + j] / (cells - groups.size);
      for (let k = 0; k < j; k++) sum -= l[i * 4 + k] * l[j * 4 + k];
      l[i * 4 + j] = i === j ? Math.sqrt(sum) : sum / l[j * 4 + j];
    }
  return l;
}
