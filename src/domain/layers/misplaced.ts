/**
 * Mistakes of position: what must have gone wrong where positions lie outside the region of the work and one simple mistake
 * undone would put them into it. The region is eastern North America, whatever workspace is open: what a plan says to mend must
 * come out the same wherever it is opened. Nothing is concluded for data that are simply elsewhere: every rule below asks that the undone mistake lead home.
 */
import type { Box } from '../base/geo.ts';
import type { Mend } from '../base/mend.ts';

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
}

export interface Misplaced {
  readonly mistake: Mend;
  /** Positions concerned. */
  readonly count: number;
  /** Extent of all positions after mending (degrees); null where none is left. */
  readonly extent: Box | null;
}

/** From the prairie to Newfoundland: the region in which positions are expected. */
const EAST: Box = [-100, 24, -52, 56];
/** Degrees around the positions that are right, within which a mended one must fall. */
const NEIGHBOURHOOD = 3;
/** North or south of this (degrees) no tree grows, so that a position there is a mistake. */
const TREELESS = 72;

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
  const { x, y, lon, lat } = p;
  const there = (i: number): boolean => Number.isFinite(x[i]) && Number.isFinite(y[i]);
  const isZero = (i: number): boolean => x[i] === 0 && y[i] === 0;
  const isHome = (i: number): boolean => within(lon[i], lat[i], EAST);
  let [all, zeros, right] = [0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    if (!there(i)) continue;
    all++;
    if (isZero(i)) zeros++;
    else if (isHome(i)) right++;
  }
  // As it is with nearly every file: all is well.
  if (right === all) return [];
  const found: Misplaced[] = [];
  const rest = all - zeros;
  const isRest = (i: number): boolean => there(i) && !isZero(i);
  if (zeros > 0) {
    const file = boxOf(x, y, isRest);
    if (!file || !within(0, 0, file))
      found.push({ mistake: 'zeros', count: zeros, extent: boxOf(lon, lat, isRest) });
  }
  if (rest === 0) return found;
  const every = (test: (i: number) => boolean): boolean => {
    for (let i = 0; i < x.length; i++) if (isRest(i) && !test(i)) return false;
    return true;
  };
  if (!p.geographic) {
    const asDegrees = every((i) =>
      [1, -1].some((sign) => within(sign * x[i], y[i], EAST) || within(sign * y[i], x[i], EAST)),
    );
    if (asDegrees) {
      found.push({ mistake: 'degrees', count: rest, extent: boxOf(x, y, isRest) });
      return found;
    }
  }
  if (right === 0) {
    const turned = p.place(y, x);
    const fits = (sign: number): boolean => every((i) => within(sign * turned.lon[i], turned.lat[i], EAST));
    if (fits(1) || (p.geographic && every((i) => Math.abs(lat[i]) > TREELESS) && fits(-1))) {
      found.push({ mistake: 'axes', count: rest, extent: boxOf(turned.lon, turned.lat, isRest) });
      return found;
    }
  }
  const isEast = (i: number): boolean => isRest(i) && lostSign(lon[i], lat[i]);
  const east = p.geographic ? count(x.length, isEast) : 0;
  if (east === 0) return found;
  const neighbours = boxOf(lon, lat, (i) => isRest(i) && isHome(i));
  const among = neighbours && grown(neighbours, NEIGHBOURHOOD);
  const sure =
    east === rest ||
    (among !== null && right > rest / 2 && every((i) => !isEast(i) || within(-lon[i], lat[i], among)));
  if (sure) {
    const mended = lon.slice();
    for (let i = 0; i < mended.length; i++) if (isEast(i)) mended[i] = -mended[i];
    found.push({ mistake: 'sign', count: east, extent: boxOf(mended, lat, isRest) });
  }
  return found;
}

/** The position lies in the region's mirror image east of Greenwich. */
export const lostSign = (lon: number, lat: number): boolean => within(-lon, lat, EAST);

function count(n: number, is: (i: number) => boolean): number {
  let found = 0;
  for (let i = 0; i < n; i++) if (is(i)) found++;
  return found;
}

function boxOf(x: Float64Array, y: Float64Array, use: (i: number) => boolean): Box | null {
  let [w, s, e, n] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < x.length; i++) {
    if (!use(i) || !Number.isFinite(x[i]) || !Number.isFinite(y[i])) continue;
    if (x[i] < w) w = x[i];
    if (x[i] > e) e = x[i];
    if (y[i] < s) s = y[i];
    if (y[i] > n) n = y[i];
  }
  return w <= e ? [w, s, e, n] : null;
}

const grown = ([w, s, e, n]: Box, by: number): Box => [w - by, s - by, e + by, n + by];
const within = (x: number, y: number, [w, s, e, n]: Box): boolean => x >= w && x <= e && y >= s && y <= n;
