import Flatbush from 'flatbush';
import type { MultiPolygon, Polygon } from '../base/geo.ts';

export interface AreaIndex {
  /** Lowest index of the areas that hold the place, -1 where none does. */
  readonly areaOf: (lon: number, lat: number) => number;
}

/**
 * Fast answers to "which area holds this place". Even-odd rule over the rings of each polygon, in the lon-lat plane (as
 * GeoJSON draws its lines, RFC 7946 section 3.1.1). Of two areas with a common edge exactly one holds a place on it.
 *
 * Boxes of polygons are searched in a tree; each polygon's edges are sorted into horizontal slabs, so that a coastline of
 * 100,000 vertices costs a handful of comparisons a place. Over it lies a grid: in a cell that no edge comes near every
 * place has the same answer, found when it is first asked for.
 */
export function areaIndex(areas: readonly MultiPolygon[]): AreaIndex {
  if (areSmall(areas)) return plainIndex(areas);
  const owners: number[] = [];
  const slabs: Slabs[] = [];
  areas.forEach((polygons, area) => {
    for (const polygon of polygons) {
      const made = slabsOf(polygon);
      if (made) {
        owners.push(area);
        slabs.push(made);
      }
    }
  });
  if (slabs.length === 0) return { areaOf: () => -1 };
  const tree = new Flatbush(slabs.length);
  for (const s of slabs) tree.add(s.west, s.south, s.east, s.north);
  tree.finish();
  const exact = (lon: number, lat: number): number => {
    let best = -1;
    for (const i of tree.search(lon, lat, lon, lat)) {
      if ((best < 0 || owners[i] < best) && holds(slabs[i], lon, lat)) best = owners[i];
    }
    return best;
  };
  const grid = gridOver(slabs, tree);
  if (!grid) return { areaOf: exact };
  const { west, south, acrossPerDegree, upPerDegree, across, up, answers } = grid;
  return {
    areaOf: (lon, lat) => {
      const c = Math.floor((lon - west) * acrossPerDegree);
      const r = Math.floor((lat - south) * upPerDegree);
      // Places on the outer rim, and those that are not numbers, have no cell.
      if (!(c >= 0 && r >= 0 && c < across && r < up)) return exact(lon, lat);
      const at = r * across + c;
      const held = answers[at];
      if (held === CROSSED) return exact(lon, lat);
      if (held !== ASK) return held;
      return (answers[at] = exact(lon, lat));
    },
  };
}

/** Polygons of so few vertices, on the average, are looked at as they are: slabs and grid would cost more than they spare. */
const FEW_VERTICES = 24;

function areSmall(areas: readonly MultiPolygon[]): boolean {
  let [polygons, vertices, most] = [0, 0, 0];
  for (const area of areas)
    for (const polygon of area) {
      let own = 0;
      for (const ring of polygon) own += ring.length;
      polygons++;
      vertices += own;
      most = Math.max(most, own);
    }
  // One coastline among houses would be walked along for every place in its box.
  return vertices <= FEW_VERTICES * polygons && most <= 100 * FEW_VERTICES;
}

/** The same answers from a tree of boxes alone. */
function plainIndex(areas: readonly MultiPolygon[]): AreaIndex {
  const owners: number[] = [];
  const polygons: Polygon[] = [];
  const boxes: number[] = [];
  areas.forEach((area, owner) => {
    for (const polygon of area) {
      let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
      for (const ring of polygon)
        for (const [x, y] of ring) {
          // Comparisons pass over what is no number.
          if (x < west) west = x;
          if (x > east) east = x;
          if (y < south) south = y;
          if (y > north) north = y;
        }
      if (!(north > south)) continue;
      owners.push(owner);
      polygons.push(polygon);
      boxes.push(west, south, east, north);
    }
  });
  if (polygons.length === 0) return { areaOf: () => -1 };
  const tree = new Flatbush(polygons.length);
  for (let b = 0; b < boxes.length; b += 4) tree.add(boxes[b], boxes[b + 1], boxes[b + 2], boxes[b + 3]);
  tree.finish();
  let [x, y, best] = [0, 0, -1];
  const look = (i: number): boolean => {
    if ((best < 0 || owners[i] < best) && evenOdd(polygons[i], x, y)) best = owners[i];
    return false;
  };
  return {
    areaOf: (lon, lat) => {
      [x, y, best] = [lon, lat, -1];
      tree.search(lon, lat, lon, lat, look);
      return best;
    },
  };
}

/** As `holds`, with the same sums: of two areas with a common edge exactly one holds a place on it. */
function evenOdd(polygon: Polygon, x: number, y: number): boolean {
  let inside = false;
  for (const ring of polygon) {
    for (let i = 0; i < ring.length; i++) {
      const p = ring[i];
      const q = ring[i + 1 < ring.length ? i + 1 : 0];
      const [low, high] = p[1] < q[1] ? [p, q] : [q, p];
      if (y >= low[1] && y < high[1] && x < low[0] + ((y - low[1]) / (high[1] - low[1])) * (high[0] - low[0]))
        inside = !inside;
    }
  }
  return inside;
}

/** An edge comes near the cell: ask each time. */
const CROSSED = -2;
/** No edge comes near: one answer for the cell, not asked for yet. */
const ASK = -3;
const MOST_CELLS = 1 << 20;
/** Fewer edges than this cost no more than a grid does. */
const FEW_EDGES = 256;

interface Grid {
  readonly west: number;
  readonly south: number;
  readonly acrossPerDegree: number;
  readonly upPerDegree: number;
  readonly across: number;
  readonly up: number;
  /** Row by row: the area, -1 for none, or one of the two marks above. */
  readonly answers: Int32Array;
}

/** Cells about as many as edges, near square in degrees; marked where an edge passes, or passes close beside. */
function gridOver(slabs: readonly Slabs[], tree: Flatbush): Grid | null {
  let edges = 0;
  for (const s of slabs) edges += s.edges.length / 4;
  const { minX: west, minY: south, maxX: east, maxY: north } = tree;
  const [width, height] = [east - west, north - south];
  if (edges < FEW_EDGES || !(width > 0) || !(height > 0)) return null;
  const cells = Math.min(MOST_CELLS, 2 * edges);
  const across = Math.max(1, Math.min(cells, Math.round(Math.sqrt((cells * width) / height))));
  const up = Math.max(1, Math.floor(cells / across));
  const acrossPerDegree = across / width;
  const upPerDegree = up / height;
  const answers = new Int32Array(across * up).fill(ASK);
  // A thousandth of a cell is far more than rounding can shift.
  const near = 1e-3;
  const mark = (list: Float64Array, e: number): void => {
    const x1 = (list[e] - west) * acrossPerDegree;
    const y1 = (list[e + 1] - south) * upPerDegree;
    const x2 = (list[e + 2] - west) * acrossPerDegree;
    const y2 = (list[e + 3] - south) * upPerDegree;
    const perRow = (x2 - x1) / (y2 - y1);
    const last = Math.min(up - 1, Math.floor(y2 + near));
    for (let r = Math.max(0, Math.floor(y1 - near)); r <= last; r++) {
      const xLow = x1 + perRow * (Math.max(y1, r - near) - y1);
      const xHigh = x1 + perRow * (Math.min(y2, r + 1 + near) - y1);
      const from = Math.max(0, Math.floor(Math.min(xLow, xHigh) - near));
      const to = Math.min(across - 1, Math.floor(Math.max(xLow, xHigh) + near));
      for (let c = from; c <= to; c++) answers[r * across + c] = CROSSED;
    }
  };
  for (const s of slabs) {
    for (let slab = 0; slab < s.count; slab++) {
      for (let e = 4 * s.start[slab]; e < 4 * s.start[slab + 1]; e += 4) {
        // An edge stands in several slabs and is marked with the first.
        if (slabOf(s, s.edges[e + 1]) === slab) mark(s.edges, e);
      }
    }
    // Level edges are no edges to the even-odd rule, yet the answer changes across them.
    for (let e = 0; e < s.level.length; e += 3) {
      const y = (s.level[e + 1] - south) * upPerDegree;
      const from = Math.max(0, Math.floor((s.level[e] - west) * acrossPerDegree - near));
      const to = Math.min(across - 1, Math.floor((s.level[e + 2] - west) * acrossPerDegree + near));
      for (let r = Math.max(0, Math.floor(y - near)); r <= Math.min(up - 1, Math.floor(y + near)); r++)
        for (let c = from; c <= to; c++) answers[r * across + c] = CROSSED;
    }
  }
  return { west, south, acrossPerDegree, upPerDegree, across, up, answers };
}

interface Slabs {
  readonly west: number;
  readonly south: number;
  readonly east: number;
  readonly north: number;
  readonly perDegree: number;
  readonly count: number;
  /** First entry of each slab in `edges`, and the end. */
  readonly start: Uint32Array;
  /** x, y of the lower end, x, y of the upper end; an edge stands in every slab that it crosses. */
  readonly edges: Float64Array;
  /** Level edges: west end, y, east end. */
  readonly level: readonly number[];
}

function slabsOf(polygon: Polygon): Slabs | null {
  let most = 0;
  for (const ring of polygon) most += ring.length;
  const flat = new Float64Array(4 * most);
  const level: number[] = [];
  let n = 0;
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  let climb = 0;
  for (const ring of polygon) {
    for (let i = 0; i < ring.length; i++) {
      const p = ring[i];
      // An open ring is closed by its first vertex; for a closed one this edge has no length.
      const q = ring[i + 1 < ring.length ? i + 1 : 0];
      const [x1, y1, x2, y2] = [p[0], p[1], q[0], q[1]];
      if (x1 < west) west = x1;
      if (x1 > east) east = x1;
      if (y1 < south) south = y1;
      if (y1 > north) north = y1;
      // Lower end first: two areas that share an edge then compute the same crossing, bit by bit.
      if (y1 < y2) {
        flat[n++] = x1;
        flat[n++] = y1;
        flat[n++] = x2;
        flat[n++] = y2;
        climb += y2 - y1;
      } else if (y2 < y1) {
        flat[n++] = x2;
        flat[n++] = y2;
        flat[n++] = x1;
        flat[n++] = y1;
        climb += y1 - y2;
      } else if (x1 !== x2) level.push(Math.min(x1, x2), y1, Math.max(x1, x2));
    }
  }
  const edgeCount = n / 4;
  const height = north - south;
  if (edgeCount === 0 || !(height > 0)) return null;
  // As many slabs as keep the copies of long edges under about seven an edge.
  const count = Math.max(1, Math.min(Math.ceil(edgeCount / 4), Math.floor((7 * edgeCount * height) / climb)));
  const perDegree = count / height;
  const slabAt = (y: number): number => slabOf({ south, perDegree, count }, y);
  const start = new Uint32Array(count + 1);
  for (let e = 0; e < n; e += 4) {
    const last = slabAt(flat[e + 3]);
    for (let s = slabAt(flat[e + 1]); s <= last; s++) start[s + 1]++;
  }
  for (let s = 0; s < count; s++) start[s + 1] += start[s];
  const next = start.slice(0, count);
  const edges = new Float64Array(4 * start[count]);
  for (let e = 0; e < n; e += 4) {
    const last = slabAt(flat[e + 3]);
    for (let s = slabAt(flat[e + 1]); s <= last; s++) {
      const at = 4 * next[s]++;
      edges[at] = flat[e];
      edges[at + 1] = flat[e + 1];
      edges[at + 2] = flat[e + 2];
      edges[at + 3] = flat[e + 3];
    }
  }
  return { west, south, east, north, perDegree, count, start, edges, level };
}

function slabOf(s: Pick<Slabs, 'south' | 'perDegree' | 'count'>, y: number): number {
  return Math.min(s.count - 1, Math.floor((y - s.south) * s.perDegree));
}

function holds(p: Slabs, x: number, y: number): boolean {
  if (y < p.south || y > p.north || x < p.west || x > p.east) return false;
  const { edges, start } = p;
  const s = Math.min(p.count - 1, Math.floor((y - p.south) * p.perDegree));
  const end = 4 * start[s + 1];
  let inside = false;
  for (let e = 4 * start[s]; e < end; e += 4) {
    const y1 = edges[e + 1];
    const y2 = edges[e + 3];
    if (y >= y1 && y < y2 && x < edges[e] + ((y - y1) / (y2 - y1)) * (edges[e + 2] - edges[e]))
      inside = !inside;
  }
  return inside;
}
