import Flatbush from 'flatbush';
import { geodesicMetres } from '../base/geodesy.ts';
import { localFrame } from '../base/localFrame.ts';
import type { Area, Line, Spot, Track } from '../base/geo.ts';
import { areaIndex, type AreaIndex } from './areaIndex.ts';

const RADIANS = Math.PI / 180;
/** Up to this distance every segment that could be nearest is looked at, metres. */
const LOCAL = 2000;

/** Shapes of a layer made ready for distances; built once, asked often. */
export interface ShapeIndex {
  /** lon, lat of both ends of each segment; a spot is a segment without length. */
  readonly ends: Float64Array;
  /** Which shape of the layer, and which single line of it (counted over the layer), a segment belongs to. */
  readonly shape: Int32Array;
  readonly line: Int32Array;
  /** Over segments, in Mercator degrees: there a degree is the same length in both directions. */
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
  const tree = at > 0 ? new Flatbush(at) : null;
  let layer = 0;
  let past = layers[0]?.length ?? 0;
  for (let s = 0; s < at; s++) {
    while (shape[s] >= past) past += layers[++layer].length;
    const e = 4 * s;
    const left = Math.min(ends[e], ends[e + 2]);
    const right = Math.max(ends[e], ends[e + 2]);
    const low = Math.min(ends[e + 1], ends[e + 3]);
    const high = Math.max(ends[e + 1], ends[e + 3]);
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
    tree,
    inside,
    extents,
    shapes: shapes.length,
  };
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
  const { tree, ends, shape, inside, extents } = index;
  if (tree === null) return { metres, which, segment, count };
  const seen = new Int32Array(index.shapes).fill(-1);
  const kept = keep ? (s: number): boolean => keep(shape[s]) : undefined;
  for (let i = 0; i < n; i++) {
    const x = lon[i];
    const y = lat[i];
    if (!Number.isFinite(x) || !Number.isFinite(y)) continue;
    const { lonMetres, latMetres } = localFrame(y);
    if (reach < Infinity && extents.every((box) => outside(box, x, y, lonMetres, latMetres) > reach))
      continue;
    const held = inside ? inside.areaOf(x, y) : -1;
    const holder = held >= 0 && (!keep || keep(held)) ? held : -1;
    let best = 0;
    let near = 0;
    if (holder >= 0) {
      which[i] = holder;
      seen[holder] = i;
      near = 1;
      counted?.(holder, i);
    } else {
      segment[i] = firstNear(index, x, y, kept);
      if (segment[i] < 0) continue;
      best = planar(ends, segment[i], x, y, lonMetres, latMetres);
    }
    const radius = Math.max(best <= LOCAL ? best : 0, within);
    if (radius > 0) {
      const dy = (1.005 * radius) / latMetres;
      const dx = (1.005 * radius) / localFrame(Math.min(89, Math.abs(y) + dy)).lonMetres;
      for (const s of tree.search(x - dx, mercator(y - dy), x + dx, mercator(y + dy), kept)) {
        const d = planar(ends, s, x, y, lonMetres, latMetres);
        if (d < best || (d === best && s < segment[i])) {
          best = d;
          segment[i] = s;
        }
        if (d <= within && seen[shape[s]] !== i) {
          seen[shape[s]] = i;
          near++;
          counted?.(shape[s], i);
        }
      }
    }
    if (holder < 0) which[i] = shape[segment[i]];
    metres[i] = best > LOCAL ? toSegment(ends, segment[i], x, y, lonMetres, latMetres) : best;
    count[i] = near;
  }
  return { metres, which, segment, count };
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
  index: ShapeIndex,
  x: number,
  y: number,
  kept: ((s: number) => boolean) | undefined,
): number {
  const { tree, ends } = index;
  const my = mercator(y);
  let best = Infinity;
  let found = -1;
  let asked = 0;
  for (let k = 4; tree !== null; k *= 8) {
    const near = tree.neighbors(x, my, k, Infinity, kept);
    let reached = 0;
    for (; asked < near.length; asked++) {
      const e = 4 * near[asked];
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
        found = near[asked];
      }
      reached = Math.hypot(
        Math.max(Math.min(ax, bx), -Math.max(ax, bx), 0),
        Math.max(Math.min(ay, by), -Math.max(ay, by), 0),
      );
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
