import Flatbush from 'flatbush';
import type { MultiPolygon } from '../base/geo.ts';

/** All edges of all rings of some areas, ring after ring; edges without length are left out, open rings are closed. */
export interface Edges {
  readonly n: number;
  /** lon, lat of both ends, degrees, in the direction of the ring. */
  readonly ends: Float64Array;
  /** Index of the area. */
  readonly owner: Int32Array;
  /** Number of the ring, counted over all areas. */
  readonly ring: Int32Array;
  readonly rings: number;
}

export function edgesOf(areas: readonly MultiPolygon[]): Edges {
  let most = 0;
  for (const polygons of areas) for (const rings of polygons) for (const ring of rings) most += ring.length;
  const ends = new Float64Array(4 * most);
  const owner = new Int32Array(most);
  const ringOf = new Int32Array(most);
  let n = 0;
  let rings = 0;
  for (let a = 0; a < areas.length; a++) {
    for (const polygon of areas[a]) {
      for (const ring of polygon) {
        const last = ring.length - 1;
        for (let i = 0; i <= last; i++) {
          const p = ring[i];
          const q = ring[i === last ? 0 : i + 1];
          if (p[0] === q[0] && p[1] === q[1]) continue;
          ends[4 * n] = p[0];
          ends[4 * n + 1] = p[1];
          ends[4 * n + 2] = q[0];
          ends[4 * n + 3] = q[1];
          owner[n] = a;
          ringOf[n++] = rings;
        }
        rings++;
      }
    }
  }
  return {
    n,
    ends: ends.subarray(0, 4 * n),
    owner: owner.subarray(0, n),
    ring: ringOf.subarray(0, n),
    rings,
  };
}

/** Edges in a chunk: few enough to compare all with all, enough to keep the tree of boxes small. */
const CHUNK = 16;

/** Pieces of up to 16 edges that follow one another on a ring, with their boxes in a tree: edges near one another are found through them. */
export interface Chunks {
  readonly count: number;
  /** First edge of each chunk, and the end. */
  readonly start: Int32Array;
  /** west, south, east, north of each, degrees. */
  readonly box: Float64Array;
  /** null without edges. */
  readonly tree: Flatbush | null;
}

export function chunksOf({ n, ends, ring, rings }: Edges): Chunks {
  const most = Math.ceil(n / CHUNK) + rings;
  const start = new Int32Array(most + 1);
  const box = new Float64Array(4 * most);
  let count = 0;
  for (let e = 0; e < n;) {
    const from = e;
    let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
    while (e < n && e < from + CHUNK && ring[e] === ring[from]) {
      const x = ends[4 * e];
      const y = ends[4 * e + 1];
      const x2 = ends[4 * e + 2];
      const y2 = ends[4 * e + 3];
      west = Math.min(west, x, x2);
      east = Math.max(east, x, x2);
      south = Math.min(south, y, y2);
      north = Math.max(north, y, y2);
      e++;
    }
    box[4 * count] = west;
    box[4 * count + 1] = south;
    box[4 * count + 2] = east;
    box[4 * count + 3] = north;
    start[count++] = from;
  }
  start[count] = n;
  const tree = count > 0 ? new Flatbush(count) : null;
  for (let c = 0; c < count; c++) tree?.add(box[4 * c], box[4 * c + 1], box[4 * c + 2], box[4 * c + 3]);
  tree?.finish();
  return { count, start: start.subarray(0, count + 1), box: box.subarray(0, 4 * count), tree };
}

/**
 * For each edge the area, not its own, that has the very same edge (in either direction); -1 where there is none. Where
 * several have it, one of them.
 */
export function twins(edges: Edges): Int32Array {
  const { n, owner } = edges;
  const twin = new Int32Array(n).fill(-1);
  const first = firstLike(edges);
  for (let e = 0; e < n; e++) {
    const held = first[e];
    if (held === e || owner[held] === owner[e]) continue;
    twin[e] = owner[held];
    if (twin[held] < 0) twin[held] = owner[e];
  }
  return twin;
}

/** The edges that are there an odd number of times (in either direction), once each. */
export function oddEdges(edges: Edges): Edges {
  const first = firstLike(edges);
  const times = new Uint32Array(edges.n);
  for (let e = 0; e < edges.n; e++) times[first[e]]++;
  const kept = Int32Array.from(first.keys()).filter((e) => times[e] % 2 === 1);
  const ends = new Float64Array(4 * kept.length);
  kept.forEach((e, i) => ends.set(edges.ends.subarray(4 * e, 4 * e + 4), 4 * i));
  return {
    n: kept.length,
    ends,
    owner: Int32Array.from(kept, (e) => edges.owner[e]),
    ring: Int32Array.from(kept, (e) => edges.ring[e]),
    rings: edges.rings,
  };
}

/** For each edge the first that is the same in either direction; itself where it is the first. */
function firstLike({ n, ends }: Edges): Int32Array {
  const first = new Int32Array(n);
  const bits = new Int32Array(ends.buffer, ends.byteOffset, 2 * ends.length);
  let size = 16;
  while (size < 2 * n) size *= 2;
  const table = new Int32Array(size);
  for (let e = 0; e < n; e++) {
    const b = 8 * e;
    // The same number whichever end comes first.
    const one =
      Math.imul(bits[b] ^ Math.imul(bits[b + 1], 31), 0x9e3779b1) ^
      Math.imul(bits[b + 2] ^ bits[b + 3], 0x85ebca6b);
    const two =
      Math.imul(bits[b + 4] ^ Math.imul(bits[b + 5], 31), 0x9e3779b1) ^
      Math.imul(bits[b + 6] ^ bits[b + 7], 0x85ebca6b);
    let h = Math.imul(one + two, 0xc2b2ae35);
    h ^= h >>> 15;
    let at = h & (size - 1);
    while (table[at] > 0 && !sameEdge(ends, table[at] - 1, e)) at = (at + 1) & (size - 1);
    if (table[at] === 0) table[at] = e + 1;
    first[e] = table[at] - 1;
  }
  return first;
}

function sameEdge(ends: Float64Array, i: number, j: number): boolean {
  const a = 4 * i;
  const b = 4 * j;
  return (
    (ends[a] === ends[b + 2] &&
      ends[a + 1] === ends[b + 3] &&
      ends[a + 2] === ends[b] &&
      ends[a + 3] === ends[b + 1]) ||
    (ends[a] === ends[b] &&
      ends[a + 1] === ends[b + 1] &&
      ends[a + 2] === ends[b + 2] &&
      ends[a + 3] === ends[b + 3])
  );
}
