import Flatbush from 'flatbush';
import { localFrame } from '../base/geodesy.ts';
import type { Zone, ZoneAdjacency } from './zones.ts';

/**
 * Boundaries nearer than this are the same line, metres: the rounding of coordinates to seven decimals. Kept small, because
 * lines drawn roughly cross one another, and two that cross at a slight angle are close for many times this length.
 */
const SAME_LINE = 0.02;
/** Least length of a common line drawn exactly, metres. */
const LEAST_EXACT = 1;

/**
 * Which zones touch, and how: along an edge, or at a corner only.
 *
 * Let l(r) be the length of one zone's boundary that runs within r of the other's. A common edge of length T gives
 * l(r) = T + c r (the c r from both ends, where the lines part); a mere corner gives l(r) = c r. So 2 l(r) - l(2r) is T
 * for an edge and 0 for a corner of any angle; for a corner across a gap it is below 0, for a right-angled corner drawn
 * with an overlap of up to r at most 2r. Hence two zones share an edge when either holds, from both sides:
 *  - exactly drawn: 2 l(r) - l(2r) >= 1 m with r = 2 cm, where both zones are drawn exactly: at least half of what they
 *    share with all others at r = snap they share at 2 cm (zones drawn roughly coincide for some metres by chance);
 *  - drawn with gaps or overlaps: in one run of boundary, with r = snap, 2 l(r) - l(2r) >= 2 snap, or l(r) >= 8 snap (lines
 *    that part at less than about 15 degrees run along one another).
 * Zones that come within snap without sharing an edge touch at a corner. Lengths are summed over runs: pieces of boundary
 * within 2r of the other zone without interruption.
 *
 * @param snap metres; gaps and overlaps up to it count as shared. Less than 2 cm works as 2 cm.
 * @returns pairs by index into `zones`, in ascending order. `sharedMetres` of an edge is the length of the common line (for
 * lines apart, less what a corner would give); 0 for a corner.
 */
export function adjacency(zones: readonly Zone[], snap: number): ZoneAdjacency {
  const boundary = boundaryOf(zones);
  const radii = snap > SAME_LINE ? [SAME_LINE, 2 * SAME_LINE, snap, 2 * snap] : [SAME_LINE, 2 * SAME_LINE];
  const contacts = contactsOf(boundary, zones.length, radii);
  const measured = new Map<number, Measured>();
  const exact = new Float64Array(zones.length);
  const rough = new Float64Array(zones.length);
  for (const [key, runs] of contacts) {
    const m = measure(runs, boundary, radii);
    measured.set(key, m);
    exact[Math.floor(key / zones.length)] += m.exact;
    rough[Math.floor(key / zones.length)] += m.rough;
  }
  const pairs: Array<ZoneAdjacency['pairs'][number]> = [];
  for (const [key, one] of measured) {
    const a = Math.floor(key / zones.length);
    const b = key % zones.length;
    const two = measured.get(b * zones.length + a);
    // Contact is mutual; a hair's breadth of rounding at the radius may see it from one side only.
    if (a > b || !two || !(one.touches || two.touches)) continue;
    const drawnExactly = 2 * exact[a] >= rough[a] && 2 * exact[b] >= rough[b];
    const common = drawnExactly ? Math.min(one.exact, two.exact) : 0;
    const snapped = Math.min(one.snapped, two.snapped);
    const edge = common >= LEAST_EXACT || snapped > 0;
    pairs.push({
      a,
      b,
      contact: edge ? 'edge' : 'corner',
      sharedMetres: edge ? Math.max(common, snapped) : 0,
    });
  }
  pairs.sort((p, q) => p.a - q.a || p.b - q.b);
  return { pairs, snap };
}

/** All boundary segments of all zones, ring after ring. */
interface Boundary {
  readonly n: number;
  /** lon, lat of both ends, degrees. */
  readonly ends: Float64Array;
  readonly zone: Int32Array;
  readonly ring: Int32Array;
  /** Metres along the ring to the segment's start, and its length. */
  readonly along: Float64Array;
  readonly length: Float64Array;
  /** Metres round each ring. */
  readonly ringLength: readonly number[];
}

function boundaryOf(zones: readonly Zone[]): Boundary {
  const ends: number[] = [];
  const zone: number[] = [];
  const ring: number[] = [];
  const along: number[] = [];
  const length: number[] = [];
  const ringLength: number[] = [];
  zones.forEach((z, index) => {
    for (const polygon of z.area.geometry) {
      for (const line of polygon) {
        let s = 0;
        for (let i = 0; i < line.length; i++) {
          const [x1, y1] = line[i];
          const [x2, y2] = line[(i + 1) % line.length];
          const f = localFrame((y1 + y2) / 2);
          const metres = Math.hypot((x2 - x1) * f.lonMetres, (y2 - y1) * f.latMetres);
          if (!(metres > 0)) continue;
          ends.push(x1, y1, x2, y2);
          zone.push(index);
          ring.push(ringLength.length);
          along.push(s);
          length.push(metres);
          s += metres;
        }
        ringLength.push(s);
      }
    }
  });
  return {
    n: zone.length,
    ends: Float64Array.from(ends),
    zone: Int32Array.from(zone),
    ring: Int32Array.from(ring),
    along: Float64Array.from(along),
    length: Float64Array.from(length),
    ringLength,
  };
}

/** Runs for each radius: ring, start, end (metres along the ring), flat. */
type Runs = number[][];

/** For each ordered pair of zones (key a * zones + b): where a's boundary runs within each radius of b's. */
function contactsOf(boundary: Boundary, zones: number, radii: readonly number[]): Map<number, Runs> {
  const contacts = new Map<number, Runs>();
  const { n, ends, zone } = boundary;
  if (n === 0) return contacts;
  const tree = new Flatbush(n);
  for (let i = 0; i < n; i++) {
    const [x1, y1, x2, y2] = ends.subarray(4 * i, 4 * i + 4);
    tree.add(Math.min(x1, x2), Math.min(y1, y2), Math.max(x1, x2), Math.max(y1, y2));
  }
  tree.finish();
  const widest = radii[radii.length - 1];
  const span = new Float64Array(2);
  for (let i = 0; i < n; i++) {
    const [x1, y1, x2, y2] = ends.subarray(4 * i, 4 * i + 4);
    const south = Math.min(y1, y2);
    const north = Math.max(y1, y2);
    const f = localFrame(Math.max(Math.abs(south), Math.abs(north)));
    const dx = (1.01 * widest) / f.lonMetres;
    const dy = (1.01 * widest) / f.latMetres;
    const hits = tree.search(
      Math.min(x1, x2) - dx,
      south - dy,
      Math.max(x1, x2) + dx,
      north + dy,
      (j) => zone[j] !== zone[i],
    );
    if (hits.length === 0) continue;
    const found: Array<{ zone: number; radius: number; from: number; to: number }> = [];
    for (const j of hits) {
      for (let r = radii.length - 1; r >= 0; r--) {
        if (!stretchWithin(ends, i, j, radii[r], span)) break;
        found.push({ zone: zone[j], radius: r, from: span[0], to: span[1] });
      }
    }
    found.sort((p, q) => p.zone - q.zone || p.radius - q.radius || p.from - q.from);
    for (const p of found) {
      const key = zone[i] * zones + p.zone;
      let runs = contacts.get(key);
      if (!runs) contacts.set(key, (runs = radii.map(() => [])));
      extend(
        runs[p.radius],
        boundary.ring[i],
        boundary.along[i] + p.from * boundary.length[i],
        boundary.along[i] + p.to * boundary.length[i],
      );
    }
  }
  return contacts;
}

/** Adds a stretch to runs kept in order along each ring, joining it to the last where they meet (to 1 cm). */
function extend(runs: number[], ring: number, from: number, to: number): void {
  const last = runs.length - 3;
  if (last >= 0 && runs[last] === ring && from <= runs[last + 2] + 0.01)
    runs[last + 2] = Math.max(runs[last + 2], to);
  else runs.push(ring, from, to);
}

/**
 * The part of segment i within `radius` metres of segment j, as shares of i's length written to `out`; false where none.
 * Points within a radius of a segment form a capsule, which is convex: the part is one stretch, from the least to the
 * greatest of the crossings with its two discs and its rectangle.
 */
function stretchWithin(ends: Float64Array, i: number, j: number, radius: number, out: Float64Array): boolean {
  const ox = ends[4 * i];
  const oy = ends[4 * i + 1];
  // Frame at the latitude where the two are side by side.
  const low = Math.max(Math.min(oy, ends[4 * i + 3]), Math.min(ends[4 * j + 1], ends[4 * j + 3]));
  const high = Math.min(Math.max(oy, ends[4 * i + 3]), Math.max(ends[4 * j + 1], ends[4 * j + 3]));
  const f = localFrame((low + high) / 2);
  const dx = (ends[4 * i + 2] - ox) * f.lonMetres;
  const dy = (ends[4 * i + 3] - oy) * f.latMetres;
  const ax = (ends[4 * j] - ox) * f.lonMetres;
  const ay = (ends[4 * j + 1] - oy) * f.latMetres;
  const bx = (ends[4 * j + 2] - ox) * f.lonMetres;
  const by = (ends[4 * j + 3] - oy) * f.latMetres;
  let from = Infinity;
  let to = -Infinity;
  const dd = dx * dx + dy * dy;
  for (let end = 0; end < 2; end++) {
    const cx = end === 0 ? ax : bx;
    const cy = end === 0 ? ay : by;
    const mid = (dx * cx + dy * cy) / dd;
    const away = cx * cx + cy * cy - mid * mid * dd;
    const half2 = (radius * radius - away) / dd;
    if (half2 < 0) continue;
    const half = Math.sqrt(half2);
    from = Math.min(from, mid - half);
    to = Math.max(to, mid + half);
  }
  const ux = bx - ax;
  const uy = by - ay;
  const uu = Math.hypot(ux, uy);
  // Along j: 0..uu; across j: -radius..radius.
  let t0 = -Infinity;
  let t1 = Infinity;
  for (let axis = 0; axis < 2; axis++) {
    const nx = (axis === 0 ? ux : -uy) / uu;
    const ny = (axis === 0 ? uy : ux) / uu;
    const start = -(ax * nx + ay * ny);
    const speed = dx * nx + dy * ny;
    const least = axis === 0 ? 0 : -radius;
    const most = axis === 0 ? uu : radius;
    if (Math.abs(speed) < 1e-12) {
      if (start < least || start > most) t0 = Infinity;
      continue;
    }
    const p = (least - start) / speed;
    const q = (most - start) / speed;
    t0 = Math.max(t0, Math.min(p, q));
    t1 = Math.min(t1, Math.max(p, q));
  }
  if (t0 <= t1) {
    from = Math.min(from, t0);
    to = Math.max(to, t1);
  }
  out[0] = Math.max(0, from);
  out[1] = Math.min(1, to);
  return out[0] <= out[1];
}

interface Measured {
  readonly touches: boolean;
  /** 2 l(r) - l(2r), metres, at the radius of one and the same line, and at snap. */
  readonly exact: number;
  readonly rough: number;
  /** Length of the common line within snap, 0 where there is a corner at most. */
  readonly snapped: number;
}

function measure(runs: Runs, boundary: Boundary, radii: readonly number[]): Measured {
  let exact = 0;
  for (const { near, far } of groups(runs[0], runs[1], boundary)) exact += Math.max(0, 2 * near - far);
  if (radii.length === 2) return { touches: runs[0].length > 0, exact, rough: exact, snapped: 0 };
  const snap = radii[2];
  let snapped = 0;
  let rough = 0;
  for (const { near, far } of groups(runs[2], runs[3], boundary)) {
    const excess = 2 * near - far;
    rough += Math.max(0, excess);
    if (excess >= 2 * snap || near >= 8 * snap) snapped += Math.max(excess, near - 2 * snap);
  }
  return { touches: runs[2].length > 0, exact, rough, snapped };
}

/** Lengths within the radius (near) by run within twice the radius (far); a run may go past the start of its ring. */
function groups(
  inner: readonly number[],
  outer: readonly number[],
  boundary: Boundary,
): Array<{ near: number; far: number }> {
  const found: Array<{ near: number; far: number }> = [];
  const joins = new Map<number, number>();
  const openFirst = new Map<number, number>();
  const spans: Array<{ ring: number; from: number; to: number; group: number }> = [];
  for (let i = 0; i < outer.length; i += 3) {
    const [ring, from, to] = [outer[i], outer[i + 1], outer[i + 2]];
    const group = found.length;
    found.push({ near: 0, far: to - from });
    spans.push({ ring, from, to, group });
    if (from <= 0.01) openFirst.set(ring, group);
    const first = openFirst.get(ring);
    if (first !== undefined && first !== group && to >= boundary.ringLength[ring] - 0.01)
      joins.set(group, first);
  }
  for (const [last, first] of joins) found[first].far += found[last].far;
  for (let i = 0; i < inner.length; i += 3) {
    const mid = (inner[i + 1] + inner[i + 2]) / 2;
    const span = spans.find((s) => s.ring === inner[i] && mid >= s.from - 0.01 && mid <= s.to + 0.01);
    if (span) found[joins.get(span.group) ?? span.group].near += inner[i + 2] - inner[i + 1];
  }
  return found.filter((_, g) => !joins.has(g));
}
