/**
 * The frame of the demo: 60 x 60 km in EPSG:5070, laid over oak-hickory country. The ground is real, everything on it
 * is invented. Inside the generator places are "local": u metres east and v metres north of the frame's lower-left corner.
 */
import proj4 from 'proj4';

export const FRAME = {
  /** EPSG:5070 easting and northing of the lower-left corner, metres. */
  x0: 1_140_000,
  y0: 1_830_000,
  /** Side of the square, metres. */
  size: 60_000,
  /** Elevation and land cover: cell side in metres, cells a side. */
  cell: 30,
  n: 2000,
  /** Climate: 16 fine cells a side. */
  climateCell: 480,
  climateN: 125,
} as const;

/** EPSG:5070, NAD83 / Conus Albers (parameters from the EPSG registry). */
const ALBERS =
  '+proj=aea +lat_0=23 +lon_0=-96 +lat_1=29.5 +lat_2=45.5 +x_0=0 +y_0=0 +datum=NAD83 +units=m +no_defs';
const converter = proj4(ALBERS, 'EPSG:4326');

export type Local = readonly [number, number];

const round = (x: number, digits: number): number => Math.round(x * 10 ** digits) / 10 ** digits;

/** Local metres to WGS 84 lon, lat, rounded to `digits` decimals (6 is a tenth of a metre). */
export function toLonLat([u, v]: Local, digits = 6): [number, number] {
  const [lon, lat] = converter.forward<[number, number]>([FRAME.x0 + u, FRAME.y0 + v]);
  return [round(lon, digits), round(lat, digits)];
}

/** WGS 84 lon, lat to local metres. */
export function toLocal([lon, lat]: readonly [number, number]): [number, number] {
  const [x, y] = converter.inverse<[number, number]>([lon, lat]);
  return [x - FRAME.x0, y - FRAME.y0];
}

/** Row-major index of the fine cell (row 0 at the north) that holds a local place, -1 outside. */
export function cellAt(u: number, v: number): number {
  const col = Math.floor(u / FRAME.cell);
  const row = Math.floor((FRAME.size - v) / FRAME.cell);
  return col < 0 || row < 0 || col >= FRAME.n || row >= FRAME.n ? -1 : row * FRAME.n + col;
}
