import { alongPath } from './alongPath.ts';
import { convexHull } from './convexHull.ts';
import { polynomials } from './polynomial.ts';

/** A line, straight or bent, along which points stand. */
export interface TreeLine {
  /** The curve, finely drawn, and the length from its start at each corner. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly length: Float64Array;
  /** Of each point: how far along the curve, and how far to the left of it. */
  readonly along: Float64Array;
  readonly offset: Float64Array;
  /** Of the first and the last point along it. */
  readonly from: number;
  readonly to: number;
  /** The furthest offset. */
  readonly half: number;
  /** By how much the points lie nearer to the curve than to the line that it stands for: it was fitted to them. */
  readonly snug: number;
}

/** A line is at least so many times as long as wide (ours). */
const LONG = 5;
/** A bent line fills less than this share of the hull of its points (ours): a curve can be laid through any few points. */
const FILLS = 0.5;
/**
 * Points that spread across their long axis by more than this share of what they spread along it are not asked for a line: a
 * half circle has 0.43, a right angle 0.5, most random patterns in a square have more.
 */
const ROUND = 0.65;
const CORNERS = 100;
/** Pieces of the curve to both sides that are asked. */
const ASKED = 15;
const MOST_BENDS = 7;

/**
 * The line that points stand along; null where they stand about in two directions. The curve is a polynomial in the way
 * through the points, of a degree of a third of their number (ours): one that bends with a stream or a field edge.
 * @param x, y sorted by x, in the frame of their long axis (see arrange).
 */
export function treeLine(x: Float64Array, y: Float64Array): TreeLine | null {
  const n = x.length;
  if (spread(y) > ROUND * spread(x)) return null;
  const path = alongPath(x, y);
  const end = path.reduce((a, b) => Math.max(a, b), 0);
  if (!(end > 0)) return null;
  const degree = Math.max(1, Math.min(MOST_BENDS, Math.floor(n / 3)));
  const [curveX, curveY] = polynomials(
    path.map((p) => (2 * p) / end - 1),
    [x, y],
    degree,
  );
  const cx = new Float64Array(CORNERS + 1);
  const cy = new Float64Array(CORNERS + 1);
  const length = new Float64Array(CORNERS + 1);
  for (let k = 0; k <= CORNERS; k++) {
    const t = (2 * k) / CORNERS - 1;
    cx[k] = curveX(t);
    cy[k] = curveY(t);
    if (k > 0) length[k] = length[k - 1] + Math.hypot(cx[k] - cx[k - 1], cy[k] - cy[k - 1]);
  }
  const along = new Float64Array(n);
  const offset = new Float64Array(n);
  let [from, to, half] = [Infinity, -Infinity, 0];
  for (let i = 0; i < n; i++) {
    // The nearest piece of the curve lies not far from where the way through the points puts the point.
    const about = Math.round((path[i] / end) * CORNERS);
    let best = Infinity;
    for (let k = Math.max(0, about - ASKED); k < Math.min(CORNERS, about + ASKED); k++) {
      const step = length[k + 1] - length[k];
      if (step === 0) continue;
      const ux = (cx[k + 1] - cx[k]) / step;
      const uy = (cy[k + 1] - cy[k]) / step;
      const vx = x[i] - cx[k];
      const vy = y[i] - cy[k];
      // Past its ends the curve goes on straight.
      let foot = ux * vx + uy * vy;
      if (foot < 0 && k > 0) foot = 0;
      if (foot > step && k < CORNERS - 1) foot = step;
      const dx = vx - foot * ux;
      const dy = vy - foot * uy;
      const d = dx * dx + dy * dy;
      if (d < best) {
        best = d;
        along[i] = length[k] + foot;
        offset[i] = ux * vy >= uy * vx ? Math.sqrt(d) : -Math.sqrt(d);
      }
    }
    from = Math.min(from, along[i]);
    to = Math.max(to, along[i]);
    half = Math.max(half, Math.sqrt(best));
  }
  const long = to - from;
  if (!(long > 0) || long < LONG * 2 * half) return null;
  const straight = x[n - 1] - x[0] >= LONG * (highest(y) - lowest(y));
  if (!straight && long * 2 * half >= FILLS * hullArea(x, y)) return null;
  const snug = Math.sqrt(n / Math.max(1, n - degree - 1));
  return { x: cx, y: cy, length, along, offset, from, to, half, snug };
}

/** Root of the summed squares of the distances from the middle, which is at 0 in that frame. */
function spread(a: Float64Array): number {
  let sum = 0;
  for (const v of a) sum += v * v;
  return Math.sqrt(sum);
}

const lowest = (a: Float64Array): number => a.reduce((s, v) => Math.min(s, v), Infinity);
const highest = (a: Float64Array): number => a.reduce((s, v) => Math.max(s, v), -Infinity);

function hullArea(x: Float64Array, y: Float64Array): number {
  const corners = new Int32Array(2 * x.length);
  const count = convexHull(x, y, corners);
  let twice = 0;
  for (let k = 1; k + 1 < count; k++) {
    const [a, b, c] = [corners[0], corners[k], corners[k + 1]];
    twice += (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a]);
  }
  return twice / 2;
}
