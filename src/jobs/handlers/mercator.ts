/** Tiles of the map: Web Mercator (EPSG:3857), 256 pixels a side. */
import type { Raster } from '../../io/read/rasters/raster.ts';
import { wideExtent } from '../../io/read/rasters/wideExtent.ts';
import { smoothPositions, type Positions } from './positions.ts';

export const TILE = 256;
const EARTH = 40_075_016.686;
const RADIANS = Math.PI / 180;

/** Latitude in degrees at a share (0-1, from the north) of the square world. */
export function mercatorLatitude(share: number): number {
  return Math.atan(Math.sinh(Math.PI * (1 - 2 * share))) / RADIANS;
}

/** Metres on the ground along one pixel at a latitude. */
export const pixelMetres = (z: number, latitude: number): number =>
  (EARTH / (TILE * 2 ** z)) * Math.cos(latitude * RADIANS);

/** How far a position may be off, in pixels: a hundredth is not to be seen, and there is room for what lies between the checks. */
const NEAR = 0.004;

/**
 * Fractional raster column and row of side x side pixel centres from a pixel position on, row by row; NaN where the raster's
 * extent does not reach.
 */
export function pixelPlaces(
  raster: Pick<Raster, 'toPixel' | 'turn' | 'width' | 'extent' | 'cellMetres'>,
  z: number,
  fromX: number,
  fromY: number,
  side: number,
): Positions {
  const world = TILE * 2 ** z;
  const col = new Float64Array(side * side).fill(NaN);
  const row = col.slice();
  const lonAt = (x: number): number => ((fromX + x + 0.5) / world) * 360 - 180;
  const latAt = (y: number): number => mercatorLatitude((fromY + y + 0.5) / world);
  const [x0, x1, y0, y1] = withinReach(raster, lonAt, latAt, side);
  if (x1 <= x0 || y1 <= y0) return { col, row };
  const width = x1 - x0;
  const height = y1 - y0;
  const smallest = pixelMetres(z, Math.max(Math.abs(latAt(y0)), Math.abs(latAt(y1))));
  const inside = smoothPositions(
    raster,
    (x, y) => ({ lon: x.map(lonAt), lat: y.map(latAt) }),
    { left: x0, top: y0, step: 1, width, height },
    (NEAR * smallest) / raster.cellMetres,
  );
  for (let y = 0; y < height; y++) {
    const to = (y0 + y) * side + x0;
    col.set(inside.col.subarray(y * width, (y + 1) * width), to);
    row.set(inside.row.subarray(y * width, (y + 1) * width), to);
  }
  return { col, row };
}

/** First and last + 1 pixel in both directions that may lie in a raster. */
function withinReach(
  raster: Pick<Raster, 'extent'>,
  lonAt: (x: number) => number,
  latAt: (y: number) => number,
  side: number,
): [number, number, number, number] {
  const reach = wideExtent(raster);
  if (!reach) return [0, side, 0, side];
  const [west, south, east, north] = reach;
  const clamp = (v: number): number => Math.max(0, Math.min(side, v));
  const perPixel = lonAt(1) - lonAt(0);
  const x0 = clamp(Math.floor((west - lonAt(0)) / perPixel) - 1);
  const x1 = clamp(Math.ceil((east - lonAt(0)) / perPixel) + 2);
  let y0 = 0;
  let y1 = side;
  while (y0 < side && latAt(y0 + 1) > north) y0++;
  while (y1 > y0 && latAt(y1 - 2) < south) y1--;
  return [x0, x1, y0, y1];
}
