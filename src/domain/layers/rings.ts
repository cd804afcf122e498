/** Outlines that a rule of drawing forbids: mended where the ground stays the same, listed where it would not. */
import type { Area, MultiPolygon, Polygon, Ring } from '../base/geo.ts';
import type { Note } from '../base/result.ts';
import { areaIndex } from './areaIndex.ts';
import { edgesOf } from './edges.ts';
import { meetings } from './meetings.ts';
import { retrace, twiceArea } from './retrace.ts';

/** Share of its area by which mending may change a feature. */
export const SAME_AREA = 1e-4;
/** Degrees (a tenth of a millimetre): places this close to one another are the same when a feature is drawn anew. */
const NEAR = 1e-9;
/** Features listed one by one. */
const MOST_LISTED = 20;

const TROUBLES = {
  repeated: 'a corner set twice in a row: dropped',
  spike: 'a spike without width: taken off',
  flat: 'an outline or hole without area: left out',
  touch: 'an outline that touches itself: parted there',
  crossing: 'an outline that crosses itself: parted there',
  overlap: 'a line drawn twice within one outline: taken out',
  hole: 'a hole outside its outline: put where it belongs',
} as const;
type Trouble = keyof typeof TROUBLES;

export interface MendedRings {
  /** The features in their order; one that needed nothing is the same object. */
  readonly areas: readonly Area[];
  /** How many features had each trouble, mended; and each that was not, with where. */
  readonly notes: readonly Note[];
}

/**
 * Mends the outlines of a layer: corners repeated, spikes, outlines that touch or cross themselves (bow ties), lines run
 * along twice, holes outside their outline. What is ground is told by the even-odd rule over all rings of a feature. A
 * feature is mended only where its area (outlines less holes, as drawn) stays the same within a ten-thousandth; otherwise it
 * is left as it is and listed by `key`, or by its number, with the place of the trouble. Which way rings run is put right in
 * mended features only and no trouble by itself: formats differ in it and nothing here depends on it.
 *
 * Outlines of one feature that touch each other in points are as they may be. Time: n log n for n vertices drawn sensibly.
 */
export function mendRings(areas: readonly Area[], file: string, key = ''): MendedRings {
  const counts = new Map<Trouble, number>();
  const count = (all: Iterable<Trouble>): void => {
    for (const t of all) counts.set(t, (counts.get(t) ?? 0) + 1);
  };
  const shapes: MultiPolygon[] = areas.map((a) => {
    const found = new Set<Trouble>();
    const shape = tidy(a.geometry, found);
    count(found);
    return shape;
  });
  const { troubles, all } = troublesOf(shapes);
  const left: Note[] = [];
  for (const [index, { kinds, at }] of troubles) {
    const mended = retrace(shapes[index], NEAR);
    const before = areaOf(shapes[index]);
    const change = mended === null ? Infinity : Math.abs(areaOf(mended) - before);
    if (mended !== null && mended.length > 0 && change <= SAME_AREA * before) {
      shapes[index] = mended;
      count(kinds);
      continue;
    }
    const own = key === '' ? null : areas[index].attributes[key];
    const name = own === null || own === undefined || own === '' ? `feature ${index + 1}` : String(own);
    const [x, y] = at;
    left.push({
      where: `${file}, ${name}`,
      what: `${[...kinds].map((k) => TROUBLES[k].split(':')[0]).join(', ')} near ${x.toFixed(5)}, ${y.toFixed(5)}; left as it is, since ${mended === null ? 'there is too much to mend' : mended.length === 0 ? 'it has no area' : 'mending would change its area'}`,
    });
  }
  const notes: Note[] = [];
  for (const [trouble, text] of Object.entries(TROUBLES)) {
    const n = counts.get(trouble as Trouble) ?? 0;
    if (n > 0) notes.push({ where: file, what: `${text} (${n} ${n === 1 ? 'feature' : 'features'})` });
  }
  notes.push(...left.slice(0, MOST_LISTED));
  if (left.length > MOST_LISTED)
    notes.push({
      where: file,
      what: `${left.length - MOST_LISTED} more features with outlines that were left as they are`,
    });
  if (!all)
    notes.push({
      where: file,
      what: 'its outlines are too tangled to be checked to the last; some faults may be left',
    });
  return {
    areas: areas.map((a, i) => (shapes[i] === a.geometry ? a : { ...a, geometry: shapes[i] })),
    notes,
  };
}

/** Square degrees: outer rings less their holes, as drawn. */
export const areaOf = (shape: MultiPolygon): number =>
  shape.reduce(
    (sum, [outer, ...holes]) =>
      sum + Math.abs(twiceArea(outer)) / 2 - holes.reduce((h, r) => h + Math.abs(twiceArea(r)) / 2, 0),
    0,
  );

/** What can be taken off ring by ring: repeated corners, spikes, rings without area. Unchanged parts stay the same objects. */
function tidy(shape: MultiPolygon, found: Set<Trouble>): MultiPolygon {
  let same = true;
  const polygons: Polygon[] = [];
  for (const polygon of shape) {
    const rings: Ring[] = [];
    for (const [k, ring] of polygon.entries()) {
      const tidied = tidyRing(ring, found);
      if (tidied.length < 4) {
        found.add('flat');
        if (k === 0) break;
        continue;
      }
      rings.push(tidied);
    }
    const whole = rings.length === polygon.length && rings.every((r, k) => r === polygon[k]);
    if (!whole) same = false;
    if (rings.length > 0) polygons.push(whole ? polygon : rings);
  }
  if (polygons.length > 0) return same ? shape : polygons;
  // A feature that would be nothing keeps its flat outline: it is still there to be seen.
  found.clear();
  return shape;
}

function tidyRing(ring: Ring, found: Set<Trouble>): Ring {
  if (!needsTidying(ring)) return ring;
  const out: Array<readonly [number, number]> = [];
  // One round more than the ring, so that what lies across its start is seen too.
  const open = isClosed(ring) ? ring.slice(0, -1) : [...ring];
  for (const p of open) {
    out.push(p);
    takeOff(out, found);
  }
  for (let turn = 0; turn < out.length && out.length > 2; turn++) {
    const n = out.length;
    const first = out.shift();
    if (first) out.push(first);
    takeOff(out, found);
    if (out.length < n) turn = 0;
    else if (turn > 2) break;
  }
  return out.length === 0 ? out : [...out, out[0]];
}

/** Drops the last corner but one as long as it is repeated or the tip of a spike. */
function takeOff(out: Array<readonly [number, number]>, found: Set<Trouble>): void {
  for (;;) {
    const n = out.length;
    if (n >= 2 && out[n - 1][0] === out[n - 2][0] && out[n - 1][1] === out[n - 2][1]) {
      found.add('repeated');
      out.pop();
    } else if (n >= 3 && isSpike(out[n - 3], out[n - 2], out[n - 1])) {
      found.add('spike');
      out.splice(n - 2, 1);
    } else return;
  }
}

type Point = readonly [number, number];

/** b lies beyond both on one line: the way out and the way back are the same. */
function isSpike(a: Point, b: Point, c: Point): boolean {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const vx = c[0] - b[0];
  const vy = c[1] - b[1];
  return ux * vx + uy * vy < 0 && ux * vy === uy * vx;
}

const isClosed = (ring: Ring): boolean =>
  ring.length > 1 && ring[0][0] === ring[ring.length - 1][0] && ring[0][1] === ring[ring.length - 1][1];

function needsTidying(ring: Ring): boolean {
  const n = isClosed(ring) ? ring.length - 1 : ring.length;
  if (n < 3) return true;
  let a = ring[n - 1];
  let b = ring[0];
  for (let i = 1; i <= n; i++) {
    const c = ring[i === n ? 0 : i];
    const ux = b[0] - a[0];
    const uy = b[1] - a[1];
    const vx = c[0] - b[0];
    const vy = c[1] - b[1];
    if ((vx === 0 && vy === 0) || (ux * vx + uy * vy < 0 && ux * vy === uy * vx)) return true;
    a = b;
    b = c;
  }
  return false;
}

interface Found {
  readonly kinds: Set<Trouble>;
  /** Where the first was met. */
  readonly at: readonly [number, number];
}

/** Features whose rings meet in ways that they must not, and those with a hole that is in none of their outlines. */
function troublesOf(shapes: readonly MultiPolygon[]): { troubles: Map<number, Found>; all: boolean } {
  const troubles = new Map<number, Found>();
  const add = (feature: number, kind: Trouble, x: number, y: number): void => {
    const held = troubles.get(feature);
    if (held) held.kinds.add(kind);
    else troubles.set(feature, { kinds: new Set([kind]), at: [x, y] });
  };
  const edges = edgesOf(shapes);
  const all = meetings(edges, 0, (m) => {
    // Two rings may touch in a point; one ring may not touch itself.
    if (m.kind !== 'touch' || edges.ring[m.i] === edges.ring[m.j]) add(edges.owner[m.i], m.kind, m.x, m.y);
    return true;
  });
  shapes.forEach((shape, feature) => {
    if (troubles.has(feature)) return;
    for (const polygon of shape) {
      if (polygon.length < 2) continue;
      const { areaOf: inside } = areaIndex([[[polygon[0]]]]);
      for (const hole of polygon.slice(1)) {
        // The middle of an edge: a corner of a hole may lie on the outline.
        const [x, y] = [(hole[0][0] + hole[1][0]) / 2, (hole[0][1] + hole[1][1]) / 2];
        if (inside(x, y) < 0) add(feature, 'hole', x, y);
      }
    }
  });
  return { troubles, all };
}
