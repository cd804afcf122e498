import Flatbush from 'flatbush';

export type Corner = [number, number];

export interface SortedRings {
  /** Outer ring first, then its holes. */
  readonly polygons: Corner[][][];
  /** True where the turn of the rings did not tell outer from hole, so that which lies in which had to. */
  readonly byNesting: boolean;
  /** Rings without an area that were left out beside others. */
  readonly flat: number;
}

/** Thrown where sorting the rings of one feature would take without end. No real feature comes near. */
export class TooTangled extends Error {}

/** Steps of comparing a corner with an edge that one feature may take: about a second. */
const MOST_STEPS = 2e8;
/** Steps that finding and sorting one ring around another is worth. */
const SEARCH_STEPS = 20;
/** Corners of a ring that are asked where they lie; most of them decide. */
const ASKED = 5;

interface Sized {
  readonly ring: Corner[];
  /** Twice the area; positive for a ring that turns clockwise. */
  readonly turn: number;
  readonly box: readonly [number, number, number, number];
}

/**
 * Polygons from the rings of one feature in any order. Outer rings turn clockwise, holes the other way, and a hole belongs
 * to the smallest outer ring around it (ESRI Shapefile Technical Description 1998, p. 8). Where the turns do not bear that
 * out, as some programs write them, a ring within an odd number of others is a hole.
 */
export function polygonsFrom(rings: readonly Corner[][]): SortedRings {
  if (rings.length <= 1) return { polygons: rings.map((r) => [r]), byNesting: false, flat: 0 };
  const all = rings.map(sized);
  const solid = all.filter((r) => r.turn !== 0);
  if (solid.length === 0) return { polygons: rings.map((r) => [r]), byNesting: false, flat: 0 };
  const flat = all.length - solid.length;
  // What is not a number turns neither way: such rings stay by themselves, for the reader of geometries to judge.
  const outers = solid.filter((r) => !(r.turn < 0));
  const holes = solid.filter((r) => r.turn < 0);
  if (holes.length === 0) return { polygons: outers.map((r) => [r.ring]), byNesting: false, flat };
  return byTurn(outers, holes, flat) ?? byNesting(solid, flat);
}

function byTurn(outers: readonly Sized[], holes: readonly Sized[], flat: number): SortedRings | null {
  if (outers.length === 0) return null;
  const polygons = new Map(outers.map((r) => [r, [r.ring]]));
  const steps = { left: MOST_STEPS };
  const around = searcher(outers, steps);
  for (const hole of holes) {
    const candidates = around(hole);
    // The last one needs no look: a hole lies in some outer ring.
    const own = candidates.find((c, i) => i === candidates.length - 1 || liesIn(hole, c, steps));
    if (!own) return null;
    polygons.get(own)?.push(hole.ring);
  }
  return { polygons: [...polygons.values()], byNesting: false, flat };
}

function byNesting(rings: readonly Sized[], flat: number): SortedRings {
  const steps = { left: MOST_STEPS };
  const around = searcher(rings, steps);
  const containers = new Map(
    rings.map((r) => [r, around(r).filter((c) => c !== r && size(c) > size(r) && liesIn(r, c, steps))]),
  );
  const isOuter = (r: Sized): boolean => (containers.get(r)?.length ?? 0) % 2 === 0;
  const polygons = new Map(rings.filter(isOuter).map((r) => [r, [r.ring]]));
  for (const r of rings) {
    if (isOuter(r)) continue;
    const own = containers.get(r)?.find(isOuter);
    const polygon = own && polygons.get(own);
    if (polygon) polygon.push(r.ring);
    else polygons.set(r, [r.ring]);
  }
  return { polygons: [...polygons.values()], byNesting: true, flat };
}

interface Steps {
  left: number;
}

function spend(steps: Steps, n: number): void {
  steps.left -= n;
  if (steps.left < 0) throw new TooTangled('its rings cannot be sorted into outlines and holes');
}

const size = (r: Sized): number => Math.abs(r.turn);

/** Gives the rings whose box is around the box of a ring, the smallest first. */
function searcher(rings: readonly Sized[], steps: Steps): (of: Sized) => Sized[] {
  const index = new Flatbush(rings.length);
  // A box that is not numbers is put nowhere: it is around nothing.
  for (const { box } of rings) index.add(...(box.every(Number.isFinite) ? box : ([0, 0, 0, 0] as const)));
  index.finish();
  const contains = (a: Sized['box'], b: Sized['box']): boolean =>
    a[0] <= b[0] && a[1] <= b[1] && a[2] >= b[2] && a[3] >= b[3];
  return (of) => {
    const found = index.search(...of.box, (i) => {
      spend(steps, SEARCH_STEPS);
      return contains(rings[i].box, of.box);
    });
    return found.map((i) => rings[i]).sort((a, b) => size(a) - size(b));
  };
}

/** Whether `ring` lies in `outer`, by most of a few of its corners; corners on the edge of `outer` have no voice. */
function liesIn(ring: Sized, outer: Sized, steps: Steps): boolean {
  const corners = ring.ring;
  let votes = 0;
  let voices = 0;
  // Corners spread over the ring first, then any others until enough have a voice.
  const stride = Math.max(1, Math.floor(corners.length / ASKED));
  for (let start = 0; start < stride && voices < ASKED; start++)
    for (let i = start; i < corners.length && voices < ASKED; i += stride) {
      spend(steps, outer.ring.length);
      const side = sideOf(corners[i], outer.ring);
      if (side === 0) continue;
      votes += side;
      voices++;
    }
  // Every corner on the edge of the other: it can only fill a part of it.
  return voices === 0 || votes > 0;
}

/** 1 inside, -1 outside, 0 on the edge: crossings of a ray to the right. */
function sideOf(corner: Corner, ring: readonly Corner[]): -1 | 0 | 1 {
  const x = corner[0];
  const y = corner[1];
  let inside = false;
  let bx = ring[ring.length - 1][0];
  let by = ring[ring.length - 1][1];
  for (const a of ring) {
    const ax = a[0];
    const ay = a[1];
    if (ay > y !== by > y) {
      const cross = (bx - ax) * (y - ay) - (by - ay) * (x - ax);
      if (cross === 0) return 0;
      if (cross > 0 === by > ay) inside = !inside;
    } else if (ay === y && (ax === x || (by === y && x > ax !== x > bx))) return 0;
    bx = ax;
    by = ay;
  }
  return inside ? 1 : -1;
}

function sized(ring: Corner[]): Sized {
  let turn = 0;
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  // Relative to the first corner: projected coordinates are large beside a small ring.
  const [x0, y0] = ring[0] ?? [0, 0];
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [x, y] = ring[i];
    turn += (ring[j][1] - y0) * (x - x0) - (ring[j][0] - x0) * (y - y0);
    if (x < w) w = x;
    if (y < s) s = y;
    if (x > e) e = x;
    if (y > n) n = y;
  }
  return { ring, turn, box: [w, s, e, n] };
}
