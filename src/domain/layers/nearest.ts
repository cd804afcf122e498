import Flatbush from 'flatbush';
import { geodesicMetres } from '../base/geodesy.ts';
import { localFrame } from '../base/localFrame.ts';
import type { Area, Line, Spot, Track } from '../base/geo.ts';
import { areaIndex, type AreaIndex } from './areaIndex.ts';

const RADIANS = Math.PI / 180;
/** Up to this distance every segment that could be nearest is looked at, metres. */
const LOCAL = 2000;
/** Segments of a line that are looked at together: a wall of a house each is more boxes than they are worth. */
const RUN = 8;
/** As far as this from what was nearest to the place before, looking at all that lies nearer is faster than a new search. */
const AT_HAND = 300;

/** Shapes of a layer made ready for distances; built once, asked often. */
export interface ShapeIndex {
  /** lon, lat of both ends of each segment; a spot is a segment without length. */
  readonly ends: Float64Array;
  /** Which shape of the layer, and which single line of it (counted over the layer), a segment belongs to. */
  readonly shape: Int32Array;
  readonly line: Int32Array;
  /** First segment of each run of segments of one line that lie one after another, and the end of the last. */
  readonly runs: Int32Array;
  /** Over runs, in Mercator degrees: there a degree is the same length in both directions. */
  readonly tree: Flatbush | null;
  /** Inside of areas; null for lines and spots. */
  readonly inside: AreaIndex | null;
  /** west, south, east, north of the shapes of each layer, degrees. */
  readonly extents: ReadonlyArray<readonly [number, number, number, number]>;
  readonly shapes: number;
}

export interface NearestColumns {
  /** Metres to the nearest shape, 0 inside an area; NaN where not known. */
  readonly metres: Float64Array;
  /** Index of that shape, -1 none. */
  readonly which: Int32Array;
  /** Segment with the nearest point, -1 inside an area or none. */
  readonly segment: Int32Array;
  /** Shapes that come within `within` metres; NaN where not known. */
  readonly count: Float64Array;
}

export interface NearestOptions {
  /** Radius for counting shapes, metres. */
  readonly within?: number;
  /**
   * Places further than this outside the extent of every layer are not known rather than far: a layer of one county says
   * nothing of the next. Infinite where absence itself is meant (a native range).
   */
  readonly reach?: number;
  /** Shapes that count. */
  readonly keep?: (shape: number) => boolean;
  /** Told of each shape that `count` counts, and at which place. */
  readonly counted?: (shape: number, place: number) => void;
}

/** Shapes of one layer, or of several together: they are numbered on from layer to layer. */
export const areaShapes = (...layers: ReadonlyArray<readonly Area[]>): ShapeIndex =>
  build(
    layers.map((areas) => areas.map((a) => a.geometry.flat())),
    layers.flat(),
  );
export const trackShapes = (...layers: ReadonlyArray<readonly Track[]>): ShapeIndex =>
  build(layers.map((tracks) => tracks.map((t) => t.lines)));
export const spotShapes = (...layers: ReadonlyArray<readonly Spot[]>): ShapeIndex =>
  build(layers.map((spots) => spots.map((s) => [[[s.lon, s.lat]]])));

function build(
  layers: ReadonlyArray<ReadonlyArray<readonly Line[]>>,
  areas: readonly Area[] | null = null,
): ShapeIndex {
  const shapes = layers.flat();
  let n = 0;
  for (const lines of shapes) for (const line of lines) n += Math.max(1, line.length - 1);
  const ends = new Float64Array(4 * n);
  const shape = new Int32Array(n);
  const lineOf = new Int32Array(n);
  let at = 0;
  let lines = 0;
  shapes.forEach((parts, index) => {
    for (const part of parts) {
      for (let i = 0; i < Math.max(1, part.length - 1); i++) {
        const a = part[i];
        const b = part[i + 1] ?? a;
        if (!a || !Number.isFinite(a[0] + a[1] + b[0] + b[1])) continue;
        ends[4 * at] = a[0];
        ends[4 * at + 1] = a[1];
        ends[4 * at + 2] = b[0];
        ends[4 * at + 3] = b[1];
        shape[at] = index;
        lineOf[at++] = lines;
      }
      lines++;
    }
  });
  const inside = areas ? areaIndex(areas.map((a) => a.geometry)) : null;
  const extents = layers.map((): [number, number, number, number] => [
    Infinity,
    Infinity,
    -Infinity,
    -Infinity,
  ]);
  const runs = runsOf(lineOf.subarray(0, at));
  const tree = at > 0 ? new Flatbush(runs.length - 1) : null;
  let layer = 0;
  let past = layers[0]?.length ?? 0;
  for (let r = 0; r + 1 < runs.length; r++) {
    while (shape[runs[r]] >= past) past += layers[++layer].length;
    let [left, low, right, high] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let e = 4 * runs[r]; e < 4 * runs[r + 1]; e += 2) {
      left = Math.min(left, ends[e]);
      right = Math.max(right, ends[e]);
      low = Math.min(low, ends[e + 1]);
      high = Math.max(high, ends[e + 1]);
    }
    tree?.add(left, mercator(low), right, mercator(high));
    const box = extents[layer];
    box[0] = Math.min(box[0], left);
    box[1] = Math.min(box[1], low);
    box[2] = Math.max(box[2], right);
    box[3] = Math.max(box[3], high);
  }
  tree?.finish();
  return {
    ends: ends.subarray(0, 4 * at),
    shape: shape.subarray(0, at),
    line: lineOf.subarray(0, at),
    runs,
    tree,
    inside,
    extents,
    shapes: shapes.length,
  };
}

function runsOf(line: Int32Array): Int32Array {
  const starts: number[] = [];
  let first = 0;
  for (let s = 0; s < line.length; s++) {
    if (s > 0 && line[s] === line[s - 1] && s - first < RUN) continue;
    first = s;
    starts.push(s);
  }
  return Int32Array.from([...starts, line.length]);
}

/** Spherical Mercator northing in degrees. Only orders and bounds the search; no distance is taken from it. */
const mercator = (lat: number): number =>
  Math.asinh(Math.tan(Math.max(-89, Math.min(89, lat)) * RADIANS)) / RADIANS;

/**
 * Distance from each of n places to the nearest shape, and how many shapes come near.
 *
 * Within 2 km distances are measured in the plane that touches the ellipsoid at the place (relative error under 1e-4 at
 * 2 km, see localFrame); beyond, as the geodesic to a point of the outline that may be further away than the nearest one
 * by up to a hundredth of the distance at 100 km.
 */
export function nearest(
  index: ShapeIndex,
  lon: Float64Array,
  lat: Float64Array,
  options: NearestOptions = {},
): NearestColumns {
  const { within = 0, reach = Infinity, keep, counted } = options;
  const n = lon.length;
  const metres = new Float64Array(n).fill(NaN);
  const count = new Float64Array(n).fill(NaN);
  const which = new Int32Array(n).fill(-1);
  const segment = new Int32Array(n).fill(-1);
  const { tree, ends, shape, runs, inside, extents } = index;
  if (tree === null) return { metres, which, segment, count };
  const seen = new Int32Array(index.shapes).fill(-1);
  const kept = keep ? keptRuns(index, keep) : undefined;
  // Of the place that is looked at: the search calls back with runs.
  let [i, x, y, lonMetres, latMetres, best, found, near] = [0, 0, 0, 0, 0, 0, -1, 0];
  const look = (run: number): boolean => {
    if (kept && !kept(run)) return false;
    const own = shape[runs[run]];
    let closest = Infinity;
    for (let s = runs[run]; s < runs[run + 1]; s++) {
      const d = planar(ends, s, x, y, lonMetres, latMetres);
      if (d < best || (d === best && s < found)) {
        best = d;
        found = s;
      }
      if (d < closest) closest = d;
    }
    if (closest <= within && seen[own] !== i) {
      seen[own] = i;
      near++;
      counted?.(own, i);
    }
    return false;
  };
  let last = -1;
  for (i of alongCurve(lon, lat)) {
    x = lon[i];
    y = lat[i];
    ({ lonMetres, latMetres } = localFrame(y));
    if (reach < Infinity && extents.every((box) => outside(box, x, y, lonMetres, latMetres) > reach))
      continue;
    const held = inside ? inside.areaOf(x, y) : -1;
    const holder = held >= 0 && (!keep || keep(held)) ? held : -1;
    best = 0;
    near = 0;
    found = -1;
    if (holder >= 0) {
      which[i] = holder;
      seen[holder] = i;
      near = 1;
      counted?.(holder, i);
    } else {
      best = last < 0 ? Infinity : planar(ends, last, x, y, lonMetres, latMetres);
      found = best <= AT_HAND ? last : firstNear(index, x, y, kept);
      if (found < 0) continue;
      best = planar(ends, found, x, y, lonMetres, latMetres);
    }
    const radius = Math.max(best <= LOCAL ? best : 0, within);
    if (radius > 0) {
      const dy = (1.005 * radius) / latMetres;
      const dx = (1.005 * radius) / localFrame(Math.min(89, Math.abs(y) + dy)).lonMetres;
      tree.search(x - dx, mercator(y - dy), x + dx, mercator(y + dy), look);
    }
    if (holder < 0) {
      segment[i] = last = found;
      which[i] = shape[found];
    }
    metres[i] = best > LOCAL ? toSegment(ends, found, x, y, lonMetres, latMetres) : best;
    count[i] = near;
  }
  return { metres, which, segment, count };
}

/** Whether the shape of a run is kept, asked once for each shape. */
function keptRuns(
  { shape, runs, shapes }: ShapeIndex,
  keep: (shape: number) => boolean,
): (run: number) => boolean {
  const known = new Int8Array(shapes);
  return (run) => {
    const s = shape[runs[run]];
    if (known[s] === 0) known[s] = keep(s) ? 1 : -1;
    return known[s] > 0;
  };
}

/** Rows of the places along a curve that leaves no place twice (Morton 1966), so that neighbours come one after another. */
function alongCurve(lon: Float64Array, lat: Float64Array): number[] {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  const rows: number[] = [];
  for (let i = 0; i < lon.length; i++) {
    if (!Number.isFinite(lon[i]) || !Number.isFinite(lat[i])) continue;
    rows.push(i);
    west = Math.min(west, lon[i]);
    east = Math.max(east, lon[i]);
    south = Math.min(south, lat[i]);
    north = Math.max(north, lat[i]);
  }
  const side = Math.max(east - west, north - south) || 1;
  const place = new Float64Array(lon.length);
  for (const i of rows)
    place[i] = 2 * spread(((lat[i] - south) / side) * 32767) + spread(((lon[i] - west) / side) * 32767);
  return rows.sort((a, b) => place[a] - place[b]);
}

/** The 15 bits of a number, each followed by a 0. */
function spread(x: number): number {
  let bits = x & 0x7fff;
  bits = (bits | (bits << 8)) & 0x00ff00ff;
  bits = (bits | (bits << 4)) & 0x0f0f0f0f;
  bits = (bits | (bits << 2)) & 0x33333333;
  return (bits | (bits << 1)) & 0x55555555;
}

/** Metres from a place to a box, 0 inside. */
function outside(
  box: readonly [number, number, number, number],
  x: number,
  y: number,
  lonMetres: number,
  latMetres: number,
): number {
  const outX = Math.max(box[0] - x, x - box[2], 0) * lonMetres;
  const outY = Math.max(box[1] - y, y - box[3], 0) * latMetres;
  return Math.hypot(outX, outY);
}

/**
 * The nearest segment in the Mercator plane. Boxes come in order of distance; the search ends when the next box is further
 * away than the best segment so far. A degree of that plane is not quite the same length at the place and at the segment,
 * so that within LOCAL metres the caller looks once more at everything.
 */
function firstNear(
  { tree, ends, runs }: ShapeIndex,
  x: number,
  y: number,
  kept: ((run: number) => boolean) | undefined,
): number {
  const my = mercator(y);
  let best = Infinity;
  let found = -1;
  let asked = 0;
  for (let k = 4; tree !== null; k *= 8) {
    const near = tree.neighbors(x, my, k, Infinity, kept);
    let reached = 0;
    for (; asked < near.length; asked++) {
      const run = near[asked];
      let [left, low, right, high] = [Infinity, Infinity, -Infinity, -Infinity];
      for (let s = runs[run]; s < runs[run + 1]; s++) {
        const e = 4 * s;
        const ax = ends[e] - x;
        const bx = ends[e + 2] - x;
        const ay = mercator(ends[e + 1]) - my;
        const by = mercator(ends[e + 3]) - my;
        const ux = bx - ax;
        const uy = by - ay;
        const t = Math.max(0, Math.min(1, -(ax * ux + ay * uy) / (ux * ux + uy * uy || 1)));
        const d = Math.hypot(ax + t * ux, ay + t * uy);
        if (d < best) {
          best = d;
          found = s;
        }
        left = Math.min(left, ax, bx);
        right = Math.max(right, ax, bx);
        low = Math.min(low, ay, by);
        high = Math.max(high, ay, by);
      }
      reached = Math.hypot(Math.max(left, -right, 0), Math.max(low, -high, 0));
    }
    if (near.length < k || reached >= best) break;
  }
  return found;
}

/** Share of a segment, from its first end, at which it is nearest to the place. */
export function footOf(
  ends: Float64Array,
  s: number,
  x: number,
  y: number,
  lonMetres: number,
  latMetres: number,
): number {
  const ux = (ends[4 * s + 2] - ends[4 * s]) * lonMetres;
  const uy = (ends[4 * s + 3] - ends[4 * s + 1]) * latMetres;
  const uu = ux * ux + uy * uy;
  if (uu === 0) return 0;
  const t = ((x - ends[4 * s]) * lonMetres * ux + (y - ends[4 * s + 1]) * latMetres * uy) / uu;
  return Math.max(0, Math.min(1, t));
}

function planar(
  ends: Float64Array,
  s: number,
  x: number,
  y: number,
  lonMetres: number,
  latMetres: number,
): number {
  const t = footOf(ends, s, x, y, lonMetres, latMetres);
  const dx = (ends[4 * s] + t * (ends[4 * s + 2] - ends[4 * s]) - x) * lonMetres;
  const dy = (ends[4 * s + 1] + t * (ends[4 * s + 3] - ends[4 * s + 1]) - y) * latMetres;
  return Math.sqrt(dx * dx + dy * dy);
}

function toSegment(
  ends: Float64Array,
  s: number,
  x: number,
  y: number,
  lonMetres: number,
  latMetres: number,
): number {
  const t = footOf(ends, s, x, y, lonMetres, latMetres);
  const lon = ends[4 * s] + t * (ends[4 * s + 2] - ends[4 * s]);
  const lat = ends[4 * s + 1] + t * (ends[4 * s + 3] - ends[4 * s + 1]);
  return geodesicMetres(x, y, lon, lat);
}
