/** Where edges of one area meet one another other than by following one another on a ring. */
import { chunksOf, type Edges } from './edges.ts';

/** What two edges do. Written anew for each pair: copy what is to be kept. */
export interface Meeting {
  /** Numbers of the edges, i < j. */
  i: number;
  j: number;
  /** touch: in one point, an end of one of them. overlap: along a stretch. */
  kind: 'crossing' | 'touch' | 'overlap';
  /** Where (the first such point of an overlap), degrees. */
  x: number;
  y: number;
  /** First and second end of j on i, first and second end of i on j. */
  readonly on: [boolean, boolean, boolean, boolean];
}

/** Pairs of edges compared at most; sensible drawings take a quarter of it. */
const MOST_COMPARISONS = 5e7;
const COMPARISONS_AN_EDGE = 200;

/**
 * Tells of every pair of edges of one area that meet, each once. Edges that follow one another on a ring are no pair.
 * Edges are compared within and between neighbouring pieces of the outlines; a drawing so tangled that this would take more
 * than a few seconds is given up.
 * @param near degrees: an end this close to an edge is on it; 0 = exactly.
 * @param pair called for each; false ends the search.
 * @returns whether all edges were looked at.
 */
export function meetings(edges: Edges, near: number, pair: (m: Readonly<Meeting>) => boolean): boolean {
  const { ends, owner, ring } = edges;
  const { count, start, box, tree } = chunksOf(edges);
  if (!tree) return true;
  let left = MOST_COMPARISONS + COMPARISONS_AN_EDGE * edges.n;
  const lastOf = new Int32Array(edges.rings).fill(-1);
  const firstOf = new Int32Array(edges.rings).fill(-1);
  for (let e = 0; e < edges.n; e++) {
    lastOf[ring[e]] = e;
    if (firstOf[ring[e]] < 0) firstOf[ring[e]] = e;
  }
  const m: Meeting = { i: 0, j: 0, kind: 'touch', x: 0, y: 0, on: [false, false, false, false] };
  for (let c = 0; c < count; c++) {
    const own = owner[start[c]];
    const west = box[4 * c] - near;
    const south = box[4 * c + 1] - near;
    const east = box[4 * c + 2] + near;
    const north = box[4 * c + 3] + near;
    // Pieces of one area follow one another: after its last one there is only that one itself.
    const last = c + 1 === count || owner[start[c + 1]] !== own;
    const others = last
      ? [c]
      : tree.search(west, south, east, north, (d) => d >= c && owner[start[d]] === own);
    for (const d of others) {
      left -= (start[c + 1] - start[c]) * (start[d + 1] - start[d]);
      if (left < 0) return false;
      const whole = d === c;
      const [dWest, dSouth, dEast, dNorth] = [box[4 * d], box[4 * d + 1], box[4 * d + 2], box[4 * d + 3]];
      for (let i = start[c]; i < start[c + 1]; i++) {
        const ax = ends[4 * i];
        const ay = ends[4 * i + 1];
        const bx = ends[4 * i + 2];
        const by = ends[4 * i + 3];
        const least = Math.min(ax, bx) - near;
        const most = Math.max(ax, bx) + near;
        const low = Math.min(ay, by) - near;
        const high = Math.max(ay, by) + near;
        if (dWest > most || dEast < least || dSouth > high || dNorth < low) continue;
        const end = start[d + 1];
        for (let j = whole ? i + 1 : start[d]; j < end; j++) {
          const cx = ends[4 * j];
          const dx = ends[4 * j + 2];
          if ((cx < least && dx < least) || (cx > most && dx > most)) continue;
          const cy = ends[4 * j + 1];
          const dy = ends[4 * j + 3];
          if ((cy < low && dy < low) || (cy > high && dy > high)) continue;
          const r = ring[i];
          if (r === ring[j]) {
            if (j === i + 1 && bx === cx && by === cy) continue;
            if (i === firstOf[r] && j === lastOf[r] && dx === ax && dy === ay) continue;
          }
          m.i = i;
          m.j = j;
          if (meet(m, ax, ay, bx, by, cx, cy, dx, dy, near) && !pair(m)) return false;
        }
      }
    }
  }
  return true;
}

function meet(
  m: Meeting,
  ax: number,
  ay: number,
  bx: number,
  by: number,
  cx: number,
  cy: number,
  dx: number,
  dy: number,
  near: number,
): boolean {
  const ux = bx - ax;
  const uy = by - ay;
  const vx = dx - cx;
  const vy = dy - cy;
  // Twice the area of a triangle: the height of a point over an edge, times the edge's length.
  const c = ux * (cy - ay) - uy * (cx - ax);
  const d = ux * (dy - ay) - uy * (dx - ax);
  if (near === 0 && ((c > 0 && d > 0) || (c < 0 && d < 0))) return false;
  const a = vx * (ay - cy) - vy * (ax - cx);
  const b = vx * (by - cy) - vy * (bx - cx);
  if (near === 0 && ((a > 0 && b > 0) || (a < 0 && b < 0))) return false;
  const u = Math.sqrt(ux * ux + uy * uy);
  const v = Math.sqrt(vx * vx + vy * vy);
  const on = (height: number, along: number, length: number): boolean =>
    Math.abs(height) <= near * length && along >= -near * length && along <= (length + near) * length;
  m.on[0] = on(c, ux * (cx - ax) + uy * (cy - ay), u);
  m.on[1] = on(d, ux * (dx - ax) + uy * (dy - ay), u);
  m.on[2] = on(a, vx * (ax - cx) + vy * (ay - cy), v);
  m.on[3] = on(b, vx * (bx - cx) + vy * (by - cy), v);
  let found = 0;
  for (let k = 0; k < 4; k++) {
    if (!m.on[k]) continue;
    const x = k === 0 ? cx : k === 1 ? dx : k === 2 ? ax : bx;
    const y = k === 0 ? cy : k === 1 ? dy : k === 2 ? ay : by;
    if (found === 0) {
      m.x = x;
      m.y = y;
      found = 1;
    } else if (Math.abs(x - m.x) > near || Math.abs(y - m.y) > near) found = 2;
  }
  if (found > 0) {
    m.kind = found === 2 ? 'overlap' : 'touch';
    return true;
  }
  if (c > 0 === d > 0 || a > 0 === b > 0) return false;
  const t = c / (c - d);
  m.kind = 'crossing';
  m.x = cx + t * vx;
  m.y = cy + t * vy;
  return true;
}
