/** Which coordinate systems would put positions of an unknown system where the work is. */
import type { Box } from '../../domain/base/geo.ts';
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
/** Its coast, roughly, from the Rio Grande to Labrador (longitude, latitude): what lies east or south of it is sea. */
const COAST: readonly (readonly [number, number])[] = [
  [-97.3, 25.8],
  [-97.2, 27.8],
  [-94, 29.5],
  [-89.2, 28.9],
  [-85.2, 29.5],
  [-82.9, 27.8],
  [-81.9, 25.9],
  [-80.2, 25],
  [-80, 27],
  [-81.2, 31],
  [-77.5, 33.8],
  [-75.3, 35.2],
  [-73.8, 40.4],
  [-69.8, 41.2],
  [-69.8, 43.6],
  [-66, 43.3],
  [-59.6, 45.8],
  [-52.5, 46.6],
  [-52.5, 52],
  [-60, 56],
];
/** A guess that puts the layer's middle into the sea counts so much less. */
const AT_SEA = 0.2;
const MOST = 6;
/** Degrees around the open workspace that still count as near it. */
const NEAR = 5;
/** Degrees around a system's area of use in which coordinates of it are still met. */
const MARGIN = 0.5;
/** ... and more by this share of the extent. */
const BULGE = 0.15;
/** Least commonness of systems that are met in the trade. */
const USUAL = 10;
/** Degrees within which two extents are one on the map. */
const SAME = 0.005;
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
  readonly weight: number;
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
    if (!extent || !touches(extent, region)) continue;
    // The box around a wide layer bulges beyond the area that the layer keeps to.
    const margin = MARGIN + BULGE * Math.max(extent[2] - extent[0], extent[3] - extent[1]);
    if (!inside(extent, grown(shifted(entry.area, extent), margin))) continue;
    seen.add(once + entry.projection);
    const [x, y] = middle(extent);
    const dry = workspace || isLand(x, y) ? 1 : AT_SEA;
    const away = Math.hypot((x - centre[0]) * Math.cos((y * Math.PI) / 180), y - centre[1]);
    scored.push({
      crs: id,
      title: entry.code === DEGREES ? 'Longitude and latitude, degrees (WGS 84)' : entry.name,
      extent,
      why: whyOf(entry, extent, away, workspace),
      weight,
      score: dry * weight + (workspace ? 60 : 30) * Math.exp(-away / (workspace ? 2 : 6)),
    });
  }
  // What is hardly ever met is given only where nothing better fits.
  const usual = scored.filter((g) => g.weight >= USUAL);
  const sorted = (usual.length > 0 ? usual : scored).sort((a, b) => b.score - a.score);
  // The same place by another datum looks the same on the map: those come last.
  const again = sorted.filter((g, i) => sorted.slice(0, i).some((h) => isSame(g.extent, h.extent)));
  return [...sorted.filter((g) => !again.includes(g)), ...again]
    .slice(0, MOST)
    .map(({ crs, title, extent, why }) => ({ crs, title, extent, why }));
}

/** Whether a place of the region lies landward of the coast (even-odd rule). */
function isLand(lon: number, lat: number): boolean {
  let inside = false;
  const ring = [...COAST, [-60, 90], [-140, 90], [-140, 25.8]] as const;
  for (let i = 0, k = ring.length - 1; i < ring.length; k = i++) {
    const [[x0, y0], [x1, y1]] = [ring[i], ring[k]];
    if (y0 > lat !== y1 > lat && lon < ((x1 - x0) * (lat - y0)) / (y1 - y0) + x0) inside = !inside;
  }
  return inside;
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

const isSame = (a: Box, b: Box): boolean => a.every((v, i) => Math.abs(v - b[i]) < SAME);
const grown = ([w, s, e, n]: Box, by: number): Box => [w - by, s - by, e + by, n + by];
const middle = ([w, s, e, n]: Box): [number, number] => [(w + e) / 2, (s + n) / 2];
const touches = (a: Box, b: Box): boolean => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];
const inside = (a: Box, b: Box): boolean => a[0] >= b[0] && a[1] >= b[1] && a[2] <= b[2] && a[3] <= b[3];
/** An area whose east is written above 180, moved round the globe to where the other box is. */
const shifted = (area: Box, other: Box): Box =>
  area[2] > 180 && other[0] < 0 ? [area[0] - 360, area[1], area[2] - 360, area[3]] : area;
