/** Which coordinate systems would put positions of an unknown system where the work is. */
import type { Box } from '../domain/base/geo.ts';
import { crsFrom, type Crs } from './crs.ts';
import { nameOfCode } from './crsDefinitions.ts';
import { crsLookup, type Base, type Entry } from './crsLookup.ts';

export interface CrsGuess {
  /** "EPSG:5070": fit for `ReadOptions.crs` and a layer's `crs`. */
  readonly crs: string;
  /** "NAD83 / Conus Albers" */
  readonly title: string;
  /** Where it puts the box (degrees). */
  readonly extent: Box;
  /** One line for the user. */
  readonly why: string;
}

/** Forests of eastern North America, from the prairie to Newfoundland. */
const EAST: Box = [-100, 24, -52, 56];
/** Its middle, as far as oaks go. */
const EAST_MIDDLE = [-83, 38.5] as const;
const MOST = 6;
/** Degrees around the open workspace that still count as near it. */
const NEAR = 5;
/** Degrees around a system's area of use in which coordinates of it are still met. */
const MARGIN = 0.5;
/** Wider (degrees) than any layer for this work that is not of a whole country. */
const WIDEST = 70;

const DEGREES = 4326;
/** How often a system is met in files of this trade; common practice, no source. Others: see `commonness`. */
const COMMON: ReadonlyMap<number, number> = new Map([
  [DEGREES, 100],
  [5070, 50],
  [3857, 50],
  // Statewide and regional systems that agencies publish in.
  [3174, 25],
  [3175, 25],
  [3071, 25],
  [3070, 24],
  [3078, 25],
  [3089, 25],
  [3088, 22],
  [3086, 25],
  [3814, 22],
  [3161, 25],
  [32198, 24],
  [3347, 22],
  [3978, 22],
  [3979, 22],
  [102008, 18],
  [102003, 20],
  [2163, 15],
]);
const NAD83 = 4269;
const WGS84 = 4326;

/**
 * Systems that put the box into eastern North America, or near the open workspace, best first, at most six. A system is
 * given only where the whole box falls into the area that the system is made for; the same projection on another datum is
 * given once (NAD83 first), but for UTM, which is met on both. Many state plane zones and UTM zones share their range of
 * numbers, so the guesses need to be seen on a map before one is taken.
 * @param coordinates box of the positions as they stand in the file.
 * @param near extent of the open workspace (degrees); null: all of eastern North America.
 */
export async function guessCrs(coordinates: Box, near: Box | null): Promise<readonly CrsGuess[]> {
  if (!coordinates.every(Number.isFinite)) return [];
  const found = near ? await guessesIn(coordinates, grown(near, NEAR), middle(near), true) : [];
  if (found.length > 0) return found;
  return guessesIn(coordinates, EAST, EAST_MIDDLE, false);
}

/** Built in, so not in the table: a sphere's projection of WGS 84 degrees. */
const webMercator = (base: Base): Entry => ({
  code: 3857,
  name: 'WGS 84 / Pseudo-Mercator',
  base,
  definition: '',
  projection: 'merc on a sphere',
  shift: null,
  area: [-180, -85.06, 180, 85.06],
});

interface Scored extends CrsGuess {
  readonly score: number;
}

async function guessesIn(
  coordinates: Box,
  region: Box,
  centre: readonly [number, number],
  workspace: boolean,
): Promise<CrsGuess[]> {
  const { entries, bases } = await crsLookup();
  // Numbers in the range of degrees are degrees: as metres they would all be one spot.
  const degrees =
    Math.max(-coordinates[0], coordinates[2]) <= 360 && Math.max(-coordinates[1], coordinates[3]) <= 90;
  const world = bases.get(WGS84);
  const candidates = degrees
    ? entries.filter((e) => e.code === DEGREES)
    : world
      ? [...entries, webMercator(world)]
      : entries;
  const scored: Scored[] = [];
  const seen = new Set<string>();
  for (const entry of [...candidates].sort((a, b) => commonness(b) - commonness(a) || a.code - b.code)) {
    const weight = commonness(entry);
    if (weight === 0 || !entry.area || !touches(shifted(entry.area, region), region)) continue;
    // UTM is met on both datums; others once.
    const once = entry.projection.startsWith('utm') && entry.base.code === WGS84 ? 'WGS84 ' : '';
    if (seen.has(once + entry.projection)) continue;
    const id = nameOfCode(entry.code);
    const made = await crsFrom(id, '');
    if (!made.ok || (made.value.geographic && entry.code !== DEGREES)) continue;
    const extent = extentIn(made.value, coordinates);
    if (!extent || !touches(extent, region) || !inside(extent, grown(shifted(entry.area, extent), MARGIN)))
      continue;
    seen.add(once + entry.projection);
    const [x, y] = middle(extent);
    const away = Math.hypot((x - centre[0]) * Math.cos((y * Math.PI) / 180), y - centre[1]);
    scored.push({
      crs: id,
      title: entry.code === DEGREES ? 'Longitude and latitude, degrees (WGS 84)' : entry.name,
      extent,
      why: whyOf(entry, extent, away, workspace),
      score: weight + (workspace ? 60 : 30) * Math.exp(-away / (workspace ? 2 : 6)),
    });
  }
  return scored
    .sort((a, b) => b.score - a.score)
    .slice(0, MOST)
    .map(({ crs, title, extent, why }) => ({ crs, title, extent, why }));
}

function commonness(entry: Entry): number {
  const known = COMMON.get(entry.code);
  if (known !== undefined) return known;
  const { projection, base } = entry;
  if (projection === '') return 0;
  if (projection.startsWith('utm')) return base.code === NAD83 ? 35 : base.code === WGS84 ? 30 : 4;
  // On NAD83 these are state plane zones and provincial systems; feet are met more often than metres.
  if (entry.code > 37_000) return 1;
  if (base.code === NAD83) return /units=(us-)?ft/.test(projection) ? 16 : 14;
  return 3;
}

function whyOf(entry: Entry, extent: Box, away: number, workspace: boolean): string {
  const [w, s, e, n] = extent;
  const size = Math.max((e - w) * Math.cos((((s + n) / 2) * Math.PI) / 180), n - s) * KM;
  const wide = size < 2 ? 'a spot' : `${Number(size.toPrecision(2))} km wide`;
  const what =
    entry.code === DEGREES ? 'The numbers are degrees in range' : 'The numbers fall into its area of use';
  const where = workspace
    ? away * KM < size + 30
      ? ' and onto the open workspace'
      : `, ${Number((away * KM).toPrecision(2))} km from the open workspace`
    : '';
  return `${what}${where} (${wide})`;
}

/** Kilometres in a degree of a great circle, for words only. */
const KM = 111.2;

/** Where the system puts the box (degrees): its corners, edges and middle; null where a part of it has no place. */
function extentIn(crs: Crs, [minX, minY, maxX, maxY]: Box): Box | null {
  const x: number[] = [];
  const y: number[] = [];
  for (let i = 0; i <= 4; i++)
    for (let k = 0; k <= 4; k++) {
      x.push(minX + ((maxX - minX) * i) / 4);
      y.push(minY + ((maxY - minY) * k) / 4);
    }
  const { lon, lat } = crs.inverse(Float64Array.from(x), Float64Array.from(y));
  if (!lon.every(Number.isFinite) || !lat.every((v) => Math.abs(v) <= 90)) return null;
  const extent: Box = [Math.min(...lon), Math.min(...lat), Math.max(...lon), Math.max(...lat)];
  if (extent[0] < -181 || extent[2] > 361 || extent[2] - extent[0] > WIDEST) return null;
  // Far outside its area a projection folds: going back must give the same corner.
  const there = crs.forward(lon, lat);
  const fold = x.some(
    (v, i) => Math.hypot(there.x[i] - v, there.y[i] - y[i]) > 1e-6 * (1 + Math.abs(v) + Math.abs(y[i])),
  );
  return fold ? null : extent;
}

const grown = ([w, s, e, n]: Box, by: number): Box => [w - by, s - by, e + by, n + by];
const middle = ([w, s, e, n]: Box): [number, number] => [(w + e) / 2, (s + n) / 2];
const touches = (a: Box, b: Box): boolean => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
const inside = (a: Box, b: Box): boolean => a[0] >= b[0] && a[1] >= b[1] && a[2] <= b[2] && a[3] <= b[3];
/** An area whose east is written above 180, moved round the globe to where the other box is. */
const shifted = (area: Box, other: Box): Box =>
  area[2] > 180 && other[0] < 0 ? [area[0] - 360, area[1], area[2] - 360, area[3]] : area;
