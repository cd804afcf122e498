import type { Place } from '../../base/geo.ts';
import { pairOf } from './pairs.ts';

/** Degrees in which oaks of the region stand: only to tell a longitude from a latitude where no letter does. */
const isLatitude = (x: number): boolean => x >= 15 && x <= 60;
const isLongitude = (x: number): boolean => x <= -50 && x >= -130;

/**
 * A place in degrees as people type or paste it: latitude, then longitude (see pairs.ts). A pair without letters that fits
 * this region the other way round is taken so. Null where it is no place on earth, or not in degrees.
 */
export function placeFrom(text: string): Place | null {
  const pair = pairOf(text);
  if (!pair || pair.zone !== '') return null;
  const { x, y } = pair;
  const [lon, lat] = isLatitude(x) && isLongitude(y) && !/[NSEW]/i.test(text) ? [y, x] : [x, y];
  return Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? { lon, lat } : null;
}
