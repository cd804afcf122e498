/**
 * Mistakes of position: what must have gone wrong where positions lie outside the region of the work and one simple mistake
 * undone would put them into it. The region is eastern North America, or the open workspace and its surroundings.
 * Nothing is concluded for data that are simply elsewhere: every rule below asks that the undone mistake lead home.
 */
import type { Box } from '../base/geo.ts';

/** Positions at 0, 0 for "none"; coordinates in each other's place; longitudes without their minus sign; degrees that are said to be metres or feet. */
export type Mistake = 'zeros' | 'axes' | 'sign' | 'degrees';

export interface Positions {
  /** As they stand in the file; NaN where there is none. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** What the file's coordinate system makes of them (degrees). */
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** The system is one of degrees. */
  readonly geographic: boolean;
  /** File coordinates to degrees. */
  place(x: Float64Array, y: Float64Array): { readonly lon: Float64Array; readonly lat: Float64Array };
  /** Extent of the open workspace (degrees); null: eastern North America. */
  readonly near: Box | null;
}

export interface Misplaced {
  readonly mistake: Mistake;
  /** Positions concerned. */
  readonly count: number;
  /** Extent of all positions after mending (degrees); null where none is left. */
  readonly extent: Box | null;
}

/** From the prairie to Newfoundland. */
const EAST: Box = [-100, 24, -52, 56];
/** Degrees around the open workspace that count as near it. */
const NEAR = 5;
/** Degrees around the positions that are right, within which a mended one must fall. */
const NEIGHBOURHOOD = 3;
/** North or south of this (degrees) no tree grows, so that a position there is a mistake. */
const TREELESS = 72;

/** The region in which positions are expected: see the rules of `misplaced`. */
export const home = (near: Box | null): Box => (near ? grown(near, NEAR) : EAST);

/**
 * The mistakes that the positions show, each on its own, surest first.
 * - zeros: both coordinates are 0 (exactly), and 0, 0 is not within the box of the other positions.
 * - degrees: the system is a projected one, but every position, taken as degrees, lies in the region (straight, mirrored or
 *   turned, since other mistakes may add to this one).
 * - axes: no position lies in the region as it stands, every one does with its coordinates exchanged; or, where both the
 *   exchange and the sign are wrong, every one lies beyond all trees and would be in the region's mirror image.
 * - sign (systems of degrees only): every position lies in the region's mirror image east of Greenwich; or most lie in the
 *   region, and those in the mirror image would fall among them.
 */
export function misplaced(p: Positions): Misplaced[] {
  const region = home(p.near);
  const used = indices(p);
  if (used.length === 0) return [];
  const found: Misplaced[] = [];
  const zeros = used.filter((i) => p.x[i] === 0 && p.y[i] === 0);
  const rest = zeros.length > 0 ? used.filter((i) => p.x[i] !== 0 || p.y[i] !== 0) : used;
  if (zeros.length > 0) {
    const others = boxOf(p.lon, p.lat, rest);
    const file = boxOf(p.x, p.y, rest);
    if (!file || !within(0, 0, file)) found.push({ mistake: 'zeros', count: zeros.length, extent: others });
  }
  if (rest.length === 0) return found;
  const all = (test: (i: number) => boolean): boolean => rest.every(test);
  if (!p.geographic) {
    const asDegrees = all(
      (i) =>
        within(p.x[i], p.y[i], region) || within(-p.x[i], p.y[i], region) || within(p.y[i], p.x[i], region),
    );
    if (asDegrees) {
      found.push({ mistake: 'degrees', count: rest.length, extent: boxOf(p.x, p.y, rest) });
      return found;
    }
  }
  const isHome = (i: number): boolean => within(p.lon[i], p.lat[i], region);
  if (!rest.some(isHome)) {
    const turned = p.place(pick(p.y, rest), pick(p.x, rest));
    const fits = (sign: number): boolean =>
      turned.lon.every((lon, k) => within(sign * lon, turned.lat[k], region));
    if (fits(1) || (p.geographic && fits(-1) && all((i) => Math.abs(p.lat[i]) > TREELESS)))
      found.push({ mistake: 'axes', count: rest.length, extent: boxOf(turned.lon, turned.lat) });
  }
  if (p.geographic && found.every((f) => f.mistake !== 'axes')) {
    const east = rest.filter((i) => lostSign(p.lon[i], p.lat[i], region));
    const right = rest.filter(isHome);
    const neighbours = boxOf(p.lon, p.lat, right);
    const among = neighbours && grown(neighbours, NEIGHBOURHOOD);
    const sure =
      east.length === rest.length ||
      (among !== null &&
        right.length > rest.length / 2 &&
        east.every((i) => within(-p.lon[i], p.lat[i], among)));
    if (east.length > 0 && sure) {
      const mended = p.lon.slice();
      for (const i of east) mended[i] = -mended[i];
      found.push({ mistake: 'sign', count: east.length, extent: boxOf(mended, p.lat, rest) });
    }
  }
  return found;
}

/** The position lies in the mirror image of the region, and not in the region. */
export const lostSign = (lon: number, lat: number, region: Box): boolean =>
  lon > 0 && within(-lon, lat, region) && !within(lon, lat, region);

/** Positions that there are, out of range as they may be. */
function indices({ x, y }: Positions): number[] {
  const used: number[] = [];
  for (let i = 0; i < x.length; i++) if (Number.isFinite(x[i]) && Number.isFinite(y[i])) used.push(i);
  return used;
}

const pick = (values: Float64Array, at: readonly number[]): Float64Array =>
  Float64Array.from(at, (i) => values[i]);

function boxOf(x: Float64Array, y: Float64Array, at?: readonly number[]): Box | null {
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  const count = at ? at.length : x.length;
  for (let k = 0; k < count; k++) {
    const i = at ? at[k] : k;
    if (!Number.isFinite(x[i]) || !Number.isFinite(y[i])) continue;
    if (x[i] < w) w = x[i];
    if (x[i] > e) e = x[i];
    if (y[i] < s) s = y[i];
    if (y[i] > n) n = y[i];
  }
  return w <= e ? [w, s, e, n] : null;
}

const grown = ([w, s, e, n]: Box, by: number): Box => [w - by, s - by, e + by, n + by];
const within = (x: number, y: number, [w, s, e, n]: Box): boolean => x >= w && x <= e && y >= s && y <= n;
