import type { Box } from './geo.ts';

/** The box around places [x, y]; [Infinity, Infinity, -Infinity, -Infinity] around none. Folded: there may be millions. */
export function boxAround(places: Iterable<readonly [number, number]>): Box {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of places) {
    if (x < west) west = x;
    if (x > east) east = x;
    if (y < south) south = y;
    if (y > north) north = y;
  }
  return [west, south, east, north];
}

/** The box around both. */
export const boxOfBoth = (a: Box, b: Box): Box => [
  Math.min(a[0], b[0]),
  Math.min(a[1], b[1]),
  Math.max(a[2], b[2]),
  Math.max(a[3], b[3]),
];

/** What both have in common; null where that has no ground. */
export function overlap(a: Box, b: Box): Box | null {
  const [west, south] = [Math.max(a[0], b[0]), Math.max(a[1], b[1])];
  const [east, north] = [Math.min(a[2], b[2]), Math.min(a[3], b[3])];
  return west < east && south < north ? [west, south, east, north] : null;
}
