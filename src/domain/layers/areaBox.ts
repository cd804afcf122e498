import type { Box, MultiPolygon } from '../base/geo.ts';

/** The box around an area; [Infinity, Infinity, -Infinity, -Infinity] where it has no corner. */
export function areaBox(area: MultiPolygon): Box {
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [outer] of area as ReadonlyArray<MultiPolygon[number] | readonly []>)
    for (const [x, y] of outer ?? []) {
      if (x < west) west = x;
      if (x > east) east = x;
      if (y < south) south = y;
      if (y > north) north = y;
    }
  return [west, south, east, north];
}
