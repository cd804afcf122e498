/** Where the boundary of one area runs near that of another. */
import { localFrame } from '../base/localFrame.ts';
import type { MultiPolygon } from '../base/geo.ts';
import { chunksOf, edgesOf, twins, type Edges } from './edges.ts';

/** The edges of all zones with their place along the ring. */
export interface Boundary extends Edges {
  /** Metres along the ring to the edge's start, and its length. */
  readonly along: Float64Array;
  readonly length: Float64Array;
  /** Metres round each ring. */
  readonly ringLength: Float64Array;
}

export function boundaryOf(areas: readonly MultiPolygon[]): Boundary {
  const edges = edgesOf(areas);
  const frameAt = frames();
  const { n, ends, ring, rings } = edges;
  const along = new Float64Array(n);
  const length = new Float64Array(n);
  const ringLength = new Float64Array(rings);
  for (let e = 0; e < n; e++) {
    const f = frameAt((ends[4 * e + 1] + ends[4 * e + 3]) / 2);
    const dx = (ends[4 * e + 2] - ends[4 * e]) * f.lonMetres;
    const dy = (ends[4 * e + 3] - ends[4 * e + 1]) * f.latMetres;
    length[e] = Math.sqrt(dx * dx + dy * dy);
    along[e] = ringLength[ring[e]];
    ringLength[ring[e]] += length[e];
  }
  return { ...edges, along, length, ringLength };
}

type Frame = ReturnType<typeof localFrame>;
type Frames = (lat: number) => Frame;

/**
 * Frames at every ten-thousandth of a degree, each made once: trigonometry for every pair of edges would be most of the
 * work. The frame is off by at most half that step: under 2e-6 of a distance between 60 degrees south and north.
 */
function frames(): Frames {
  const made = new Map<number, Frame>();
  let last = NaN;
  let frame: Frame = localFrame(0);
  return (lat) => {
    const step = Math.round(lat * 1e4);
    if (step === last) return frame;
    last = step;
    const held = made.get(step);
    if (held) return (frame = held);
    frame = localFrame(step / 1e4);
    made.set(step, frame);
    return frame;
  };
}

/** Runs for each radius: ring, start, end (metres along the ring), flat. */
export type Runs = number[][];

/** Pairs of edges compared at most, those whose boxes are near one another counted tenfold; sensible drawings take a half. */
const MOST_COMPARISONS = 1e8;
const COMPARISONS_AN_EDGE = 500;

/**
 * For each ordered pair of zones (key a * zones + b): where a's boundary runs within each radius of b's. null for a drawing
 * so tangled that telling would take more than some seconds.
 */
export function runsBetween(
  boundary: Boundary,
  zones: number,
  radii: readonly number[],
): Map<number, Runs> | null {
  let left = MOST_COMPARISONS + COMPARISONS_AN_EDGE * boundary.n;
  const contacts = new Map<number, Runs>();
  const frameAt = frames();
  const { ends, owner, ring, along, length } = boundary;
  const { count, start, box, tree } = chunksOf(boundary);
  if (!tree) return contacts;
  // Along an edge that another zone has too, that zone is at no distance: no other edge of it can say more.
  const twin = twins(boundary);
  const widest = radii[radii.length - 1];
  const stretches = radii.map(() => new Stretches());
  const runsOf = (a: number, b: number): Runs => {
    const key = a * zones + b;
    let runs = contacts.get(key);
    if (!runs) contacts.set(key, (runs = radii.map(() => [])));
    return runs;
  };
  for (let c = 0; c < count; c++) {
    const [west, south, east, north] = box.subarray(4 * c, 4 * c + 4);
    const f = frameAt(Math.max(Math.abs(south), Math.abs(north)));
    const dx = (1.01 * widest) / f.lonMetres;
    const dy = (1.01 * widest) / f.latMetres;
    const first = start[c];
    const end = start[c + 1];
    const own = owner[first];
    const shared = twin[first];
    let alike = shared >= 0;
    for (let i = first + 1; alike && i < end; i++) alike = twin[i] === shared;
    if (alike) {
      const to = along[end - 1] + length[end - 1];
      for (const runs of runsOf(own, shared)) extend(runs, ring[first], along[first], to);
    }
    const near = tree.search(west - dx, south - dy, east + dx, north + dy, (d) => {
      const other = owner[start[d]];
      return other !== own && !(alike && other === shared);
    });
    near.sort((p, q) => owner[start[p]] - owner[start[q]]);
    for (let g = 0; g < near.length;) {
      const zone = owner[start[near[g]]];
      const group = g;
      for (; g < near.length && owner[start[near[g]]] === zone; g++)
        left -= (end - first) * (start[near[g] + 1] - start[near[g]]);
      if (left < 0) return null;
      for (let i = first; i < end; i++) {
        if (twin[i] === zone) {
          for (const runs of runsOf(own, zone)) extend(runs, ring[i], along[i], along[i] + length[i]);
          continue;
        }
        const least = Math.min(ends[4 * i], ends[4 * i + 2]) - dx;
        const most = Math.max(ends[4 * i], ends[4 * i + 2]) + dx;
        const low = Math.min(ends[4 * i + 1], ends[4 * i + 3]) - dy;
        const high = Math.max(ends[4 * i + 1], ends[4 * i + 3]) + dy;
        for (let k = group; k < g; k++) {
          const b = 4 * near[k];
          if (box[b] > most || box[b + 2] < least || box[b + 1] > high || box[b + 3] < low) continue;
          for (let j = start[near[k]]; j < start[near[k] + 1]; j++) {
            const x1 = ends[4 * j];
            const x2 = ends[4 * j + 2];
            if ((x1 < least && x2 < least) || (x1 > most && x2 > most)) continue;
            const y1 = ends[4 * j + 1];
            const y2 = ends[4 * j + 3];
            if ((y1 < low && y2 < low) || (y1 > high && y2 > high)) continue;
            left -= 10;
            stretchesWithin(ends, i, j, radii, frameAt, stretches);
          }
        }
        if (stretches[radii.length - 1].n === 0) continue;
        const runs = runsOf(own, zone);
        for (let r = 0; r < radii.length; r++) {
          stretches[r].sort();
          if (stretches[r].n > FEW) left -= 20 * stretches[r].n;
          const { n, from, to } = stretches[r];
          for (let k = 0; k < n; k++)
            extend(runs[r], ring[i], along[i] + from[k] * length[i], along[i] + to[k] * length[i]);
          stretches[r].n = 0;
        }
      }
    }
  }
  return contacts;
}

/** Stretches of one edge by so few others are the usual case. */
const FEW = 64;

/** Stretches of one edge as shares of its length. */
class Stretches {
  n = 0;
  from = new Float64Array(64);
  to = new Float64Array(64);

  add(from: number, to: number): void {
    if (this.n === this.from.length) {
      this.from = grown(this.from);
      this.to = grown(this.to);
    }
    this.from[this.n] = from;
    this.to[this.n++] = to;
  }

  /** Puts them in order of their start: mostly there are a few. */
  sort(): void {
    const { from, to, n } = this;
    if (n > FEW) {
      const order = Uint32Array.from({ length: n }, (_, i) => i).sort((p, q) => from[p] - from[q]);
      this.from = Float64Array.from(order, (i) => from[i]);
      this.to = Float64Array.from(order, (i) => to[i]);
      return;
    }
    for (let i = 1; i < n; i++) {
      const [f, t] = [from[i], to[i]];
      let at = i;
      for (; at > 0 && from[at - 1] > f; at--) {
        from[at] = from[at - 1];
        to[at] = to[at - 1];
      }
      from[at] = f;
      to[at] = t;
    }
  }
}

function grown(list: Float64Array): Float64Array<ArrayBuffer> {
  const out = new Float64Array(2 * list.length);
  out.set(list);
  return out;
}

/** Adds a stretch to runs kept in order along each ring, joining it to the last where they meet (to 1 cm). */
function extend(runs: number[], ring: number, from: number, to: number): void {
  const last = runs.length - 3;
  if (last >= 0 && runs[last] === ring && from <= runs[last + 2] + 0.01)
    runs[last + 2] = Math.max(runs[last + 2], to);
  else runs.push(ring, from, to);
}

/**
 * The part of edge i within each radius (metres) of edge j, as shares of i's length, added to the stretches of that radius.
 * Points within a radius of an edge form a capsule, which is convex: the part is one stretch, from the least to the
 * greatest of the crossings with its two discs and its rectangle.
 */
function stretchesWithin(
  ends: Float64Array,
  i: number,
  j: number,
  radii: readonly number[],
  frameAt: Frames,
  out: readonly Stretches[],
): void {
  const ox = ends[4 * i];
  const oy = ends[4 * i + 1];
  // Frame at the latitude where the two are side by side.
  const low = Math.max(Math.min(oy, ends[4 * i + 3]), Math.min(ends[4 * j + 1], ends[4 * j + 3]));
  const high = Math.min(Math.max(oy, ends[4 * i + 3]), Math.max(ends[4 * j + 1], ends[4 * j + 3]));
  const f = frameAt((low + high) / 2);
  const dx = (ends[4 * i + 2] - ox) * f.lonMetres;
  const dy = (ends[4 * i + 3] - oy) * f.latMetres;
  const ax = (ends[4 * j] - ox) * f.lonMetres;
  const ay = (ends[4 * j + 1] - oy) * f.latMetres;
  const bx = (ends[4 * j + 2] - ox) * f.lonMetres;
  const by = (ends[4 * j + 3] - oy) * f.latMetres;
  const dd = dx * dx + dy * dy;
  // Discs: where on i's line it is nearest to each end of j, and how far off that is.
  const midA = (dx * ax + dy * ay) / dd;
  const awayA = ax * ax + ay * ay - midA * midA * dd;
  const midB = (dx * bx + dy * by) / dd;
  const awayB = bx * bx + by * by - midB * midB * dd;
  // Rectangle: 0..uu along j, -radius..radius across.
  const uu = Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
  const ux = (bx - ax) / uu;
  const uy = (by - ay) / uu;
  const startAlong = -(ax * ux + ay * uy);
  const speedAlong = dx * ux + dy * uy;
  const startAcross = ax * uy - ay * ux;
  const speedAcross = dy * ux - dx * uy;
  for (let r = radii.length - 1; r >= 0; r--) {
    const radius = radii[r];
    let from = Infinity;
    let to = -Infinity;
    const halfA = (radius * radius - awayA) / dd;
    if (halfA >= 0) {
      from = midA - Math.sqrt(halfA);
      to = midA + Math.sqrt(halfA);
    }
    const halfB = (radius * radius - awayB) / dd;
    if (halfB >= 0) {
      from = Math.min(from, midB - Math.sqrt(halfB));
      to = Math.max(to, midB + Math.sqrt(halfB));
    }
    let t0 = -Infinity;
    let t1 = Infinity;
    if (Math.abs(speedAlong) < 1e-12) {
      if (startAlong < 0 || startAlong > uu) t0 = Infinity;
    } else {
      const p = -startAlong / speedAlong;
      const q = (uu - startAlong) / speedAlong;
      t0 = Math.min(p, q);
      t1 = Math.max(p, q);
    }
    if (Math.abs(speedAcross) < 1e-12) {
      if (Math.abs(startAcross) > radius) t0 = Infinity;
    } else {
      const p = (-radius - startAcross) / speedAcross;
      const q = (radius - startAcross) / speedAcross;
      t0 = Math.max(t0, Math.min(p, q));
      t1 = Math.min(t1, Math.max(p, q));
    }
    if (t0 <= t1) {
      from = Math.min(from, t0);
      to = Math.max(to, t1);
    }
    from = Math.max(0, from);
    to = Math.min(1, to);
    // What is not within a radius is not within a smaller one.
    if (!(from <= to)) return;
    out[r].add(from, to);
  }
}
