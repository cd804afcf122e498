import type { Place } from '../base/geo.ts';
import { degrees } from './degrees.ts';

/** Degrees in which oaks of the region stand: only to tell a longitude from a latitude where no letter does. */
const isLatitude = (x: number): boolean => x >= 15 && x <= 60;
const isLongitude = (x: number): boolean => x <= -50 && x >= -130;

/**
 * A place as people type or paste it: latitude, then longitude, in any form that degrees() reads, parted by a comma, a
 * semicolon, a letter of the sky or white space: "38.0402, -84.5037", "N 38° 2.41' W 84° 30.2'", "38.0402 -84.5037".
 * Letters say which is which; without them a pair that fits this region the other way round is taken so. Null where it is
 * no place.
 */
export function placeFrom(text: string): Place | null {
  const clean = text.normalize('NFKC').trim().replace(/[−–]/g, '-').toUpperCase();
  const halves = split(clean);
  if (!halves) return null;
  const [first, second] = halves;
  const [a, b] = [degrees(first), degrees(second)];
  if (Number.isNaN(a) || Number.isNaN(b)) return null;
  const lettered = /[NSEW]/.test(clean);
  const reversed = lettered ? /[EW]/.test(first) || /[NS]/.test(second) : isLongitude(a) && isLatitude(b);
  const [lat, lon] = reversed ? [b, a] : [a, b];
  return Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? { lon, lat } : null;
}

function split(text: string): [string, string] | null {
  const forms = [
    /^(.*\S)\s*;\s*(\S.*)$/, // 38,04; -84,50
    /^([NS][^NSEW]+?)[\s,]*([EW][^NSEW]+)$/, // N 38 2.4 W 84 30.2
    /^([EW][^NSEW]+?)[\s,]*([NS][^NSEW]+)$/,
    /^([^NSEW]+[NSEW])[\s,]*([^NSEW]+[NSEW])$/, // 38.04 N 84.50 W
    /^([^,]+),([^,]+)$/, // 38.04, -84.50
    /^(\S+)\s+(\S+)$/,
  ];
  for (const form of forms) {
    const found = form.exec(text);
    if (found) return [found[1].trim(), found[2].trim()];
  }
  return null;
}
