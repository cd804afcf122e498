/** An outline drawn corner by corner: which corner may follow, and what it is when it is closed. */
import { geodesicArea } from '../base/geodesy.ts';
import type { MultiPolygon, Place } from '../base/geo.ts';

/** Square metres: less than this is a slip of the hand, not ground to plant. */
const LEAST = 1;

/** What is wrong with a corner or with the outline as it would be closed, as a sentence. */
export type Refusal = 'crosses' | 'few' | 'flat';
export const REFUSALS: Readonly<Record<Refusal, string>> = {
  crosses: 'The outline would cross or touch itself: this corner is not set.',
  few: 'An outline has three corners or more.',
  flat: 'These corners have no ground between them.',
};
export const CLOSING_CROSSES =
  'Closed here, the outline would cross itself. Take corners back, or add some that lead round to the first.';

/**
 * Whether the side from the last corner to the next one keeps clear of all sides before it. Time: one comparison a side.
 * Straight lines in degrees, as the outline is kept and drawn (RFC 7946, 3.1.1).
 */
export function mayFollow(corners: readonly Place[], next: Place): boolean {
  const n = corners.length;
  if (n === 0) return true;
  const last = corners[n - 1];
  if (same(last, next)) return false;
  for (let i = 0; i + 2 < n; i++) if (meet(corners[i], corners[i + 1], last, next)) return false;
  return n < 2 || !turnsBack(corners[n - 2], last, next);
}

/** The outline with its last side, from the last corner to the first; counter-clockwise, as RFC 7946 wants it. */
export function closeOutline(
  corners: readonly Place[],
): { readonly ok: true; readonly outline: MultiPolygon } | { readonly ok: false; readonly why: Refusal } {
  const n = corners.length;
  if (n < 3) return { ok: false, why: 'few' };
  const [first, second] = corners;
  // The sides before the last one, without the first side, which it meets in the first corner.
  if (turnsBack(corners[n - 1], first, second)) return { ok: false, why: 'flat' };
  if (!mayFollow(corners.slice(1), first)) return { ok: false, why: 'crosses' };
  const ring = corners.map(({ lon, lat }): [number, number] => [lon, lat]);
  if (twice(corners) < 0) ring.reverse();
  const outline = [[[...ring, ring[0]]]];
  return geodesicArea(outline) < LEAST ? { ok: false, why: 'flat' } : { ok: true, outline };
}

const same = (a: Place, b: Place): boolean => a.lon === b.lon && a.lat === b.lat;

/** Twice the area of the triangle: above zero where c lies left of the way from a to b. */
const side = (a: Place, b: Place, c: Place): number =>
  (b.lon - a.lon) * (c.lat - a.lat) - (b.lat - a.lat) * (c.lon - a.lon);

const between = (a: Place, b: Place, c: Place): boolean =>
  Math.min(a.lon, b.lon) <= c.lon &&
  c.lon <= Math.max(a.lon, b.lon) &&
  Math.min(a.lat, b.lat) <= c.lat &&
  c.lat <= Math.max(a.lat, b.lat);

/** Two sides have a place in common, an end among them. */
function meet(a: Place, b: Place, c: Place, d: Place): boolean {
  const [abc, abd, cda, cdb] = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
  if (abc * abd < 0 && cda * cdb < 0) return true;
  return (
    (abc === 0 && between(a, b, c)) ||
    (abd === 0 && between(a, b, d)) ||
    (cda === 0 && between(c, d, a)) ||
    (cdb === 0 && between(c, d, b))
  );
}

/** From b back over the side that led to it. */
const turnsBack = (a: Place, b: Place, c: Place): boolean =>
  side(a, b, c) === 0 && (b.lon - a.lon) * (c.lon - b.lon) + (b.lat - a.lat) * (c.lat - b.lat) < 0;

const twice = (ring: readonly Place[]): number =>
  ring.reduce((sum, p, i) => {
    const q = ring[(i + 1) % ring.length];
    return sum + p.lon * q.lat - q.lon * p.lat;
  }, 0);
