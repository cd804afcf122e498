import Flatbush from 'flatbush';
import type { MultiPolygon } from '../base/geo.ts';

export interface AreaIndex {
  /** Lowest index of the areas that hold the place, -1 where none does. */
  readonly areaOf: (lon: number, lat: number) => number;
}

/**
 * Fast answers to "which area holds this place". Even-odd rule over the rings of each polygon, in the lon-lat plane (as
 * GeoJSON draws its lines, RFC 7946 section 3.1.1). Of two areas with a common edge exactly one holds a place on it.
 *
 * Boxes of polygons are searched in a tree; each polygon's edges are sorted into horizontal slabs, so that a coastline of
 * 100,000 vertices costs a handful of comparisons a place.
 */
export function areaIndex(areas: readonly MultiPolygon[]): AreaIndex {
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
  return {
    areaOf: (lon, lat) => {
      let best = -1;
      for (const i of tree.search(lon, lat, lon, lat)) {
        if ((best < 0 || owners[i] < best) && holds(slabs[i], lon, lat)) best = owners[i];
      }
      return best;
    },
  };
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
}

function slabsOf(polygon: MultiPolygon[number]): Slabs | null {
  const flat: number[] = [];
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  let climb = 0;
  for (const ring of polygon) {
    for (let i = 0; i < ring.length; i++) {
      const [x1, y1] = ring[i];
      // An open ring is closed by its first vertex; for a closed one this edge has no length.
      const [x2, y2] = ring[(i + 1) % ring.length];
      west = Math.min(west, x1);
      east = Math.max(east, x1);
      south = Math.min(south, y1);
      north = Math.max(north, y1);
      // Lower end first: two areas that share an edge then compute the same crossing, bit by bit.
      if (y1 < y2) flat.push(x1, y1, x2, y2);
      else if (y2 < y1) flat.push(x2, y2, x1, y1);
      climb += Math.abs(y2 - y1);
    }
  }
  const n = flat.length / 4;
  const height = north - south;
  if (n === 0 || !(height > 0)) return null;
  // As many slabs as keep the copies of long edges under about seven an edge.
  const count = Math.max(1, Math.min(Math.ceil(n / 4), Math.floor((7 * n * height) / climb)));
  const perDegree = count / height;
  const slabAt = (y: number): number => Math.min(count - 1, Math.floor((y - south) * perDegree));
  const start = new Uint32Array(count + 1);
  for (let e = 0; e < n; e++) {
    for (let s = slabAt(flat[4 * e + 1]); s <= slabAt(flat[4 * e + 3]); s++) start[s + 1]++;
  }
  for (let s = 0; s < count; s++) start[s + 1] += start[s];
  const next = start.slice(0, count);
  const edges = new Float64Array(4 * start[count]);
  for (let e = 0; e < n; e++) {
    for (let s = slabAt(flat[4 * e + 1]); s <= slabAt(flat[4 * e + 3]); s++) {
      edges.set(flat.slice(4 * e, 4 * e + 4), 4 * next[s]++);
    }
  }
  return { west, south, east, north, perDegree, count, start, edges };
}

function holds(p: Slabs, x: number, y: number): boolean {
  if (y < p.south || y > p.north || x < p.west || x > p.east) return false;
  const s = Math.min(p.count - 1, Math.floor((y - p.south) * p.perDegree));
  let inside = false;
  for (let e = 4 * p.start[s]; e < 4 * p.start[s + 1]; e += 4) {
    const y1 = p.edges[e + 1];
    const y2 = p.edges[e + 3];
    if (y >= y1 && y < y2 && x < p.edges[e] + ((y - y1) / (y2 - y1)) * (p.edges[e + 2] - p.edges[e]))
      inside = !inside;
  }
  return inside;
}
