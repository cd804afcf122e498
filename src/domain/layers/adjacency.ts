import { boundaryOf, runsBetween, type Boundary, type Runs } from './boundaryRuns.ts';
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
 * lines apart, less what a corner would give); 0 for a corner. No pairs and `gaveUp` for outlines too tangled to tell.
 */
export function adjacency(zones: readonly Zone[], snap: number): ZoneAdjacency {
  const boundary = boundaryOf(zones.map((z) => z.area.geometry));
  const radii = snap > SAME_LINE ? [SAME_LINE, 2 * SAME_LINE, snap, 2 * snap] : [SAME_LINE, 2 * SAME_LINE];
  const contacts = runsBetween(boundary, zones.length, radii);
  if (contacts === null) return { pairs: [], snap, gaveUp: true };
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
  // Both lists are in order along the rings, and every inner run lies in an outer one.
  let at = 0;
  for (let i = 0; i < inner.length; i += 3) {
    const mid = (inner[i + 1] + inner[i + 2]) / 2;
    const behind = (s: (typeof spans)[number]): boolean =>
      s.ring < inner[i] || (s.ring === inner[i] && s.to + 0.01 < mid);
    while (at < spans.length && behind(spans[at])) at++;
    if (at === spans.length) break;
    const { ring, from, group } = spans[at];
    if (ring === inner[i] && mid >= from - 0.01)
      found[joins.get(group) ?? group].near += inner[i + 2] - inner[i + 1];
  }
  return found.filter((_, g) => !joins.has(g));
}
