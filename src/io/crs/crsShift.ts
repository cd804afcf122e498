/** From geographic coordinates on one datum to those on WGS 84 and back, by three or seven parameters. */
import type { Box } from '../../domain/base/geo.ts';
import type { Shift } from './crsLookup.ts';

/** Radians. Moved in place: millions of them pass here. */
export interface Angles {
  x: number;
  y: number;
}

export interface Mover {
  toWgs84(p: Angles): void;
  fromWgs84(p: Angles): void;
}

const WGS84_A = 6378137;
const WGS84_F = 1 / 298.257223563;
const WGS84_ES = WGS84_F * (2 - WGS84_F);
const SECOND = Math.PI / 180 / 3600;

/**
 * Helmert transformation of geocentric coordinates with small angles, signs of the position vector convention as in +towgs84
 * (EPSG Guidance Note 7-2, methods 9603 and 9606; from memory, checked against cs2cs). Heights count as 0.
 * @param a semi-major axis (metres) and @param es squared eccentricity of the datum's ellipsoid.
 */
export function helmert({ numbers }: Pick<Shift, 'numbers'>, a: number, es: number): Mover {
  const [dx, dy, dz, rx = 0, ry = 0, rz = 0, ppm = 0] = numbers;
  const [wx, wy, wz] = [rx * SECOND, ry * SECOND, rz * SECOND];
  const scale = 1 + ppm * 1e-6;
  return {
    toWgs84(p) {
      const [x, y, z] = geocentric(p, a, es);
      geographic(
        p,
        dx + scale * (x - wz * y + wy * z),
        dy + scale * (wz * x + y - wx * z),
        dz + scale * (-wy * x + wx * y + z),
        WGS84_A,
        WGS84_ES,
      );
    },
    fromWgs84(p) {
      const [gx, gy, gz] = geocentric(p, WGS84_A, WGS84_ES);
      const [x, y, z] = [(gx - dx) / scale, (gy - dy) / scale, (gz - dz) / scale];
      geographic(p, x + wz * y - wy * z, -wz * x + y + wx * z, wy * x - wx * y + z, a, es);
    },
  };
}

function geocentric(p: Angles, a: number, es: number): [number, number, number] {
  const sin = Math.sin(p.y);
  const cos = Math.cos(p.y);
  const n = a / Math.sqrt(1 - es * sin * sin);
  return [n * cos * Math.cos(p.x), n * cos * Math.sin(p.x), n * (1 - es) * sin];
}

/** Bowring 1976: for points near the surface one step is good to far less than a millimetre. */
function geographic(p: Angles, x: number, y: number, z: number, a: number, es: number): void {
  const b = a * Math.sqrt(1 - es);
  const ep2 = es / (1 - es);
  const r = Math.hypot(x, y);
  const t = Math.atan2(z * a, r * b);
  const sin = Math.sin(t);
  const cos = Math.cos(t);
  p.x = Math.atan2(y, x);
  p.y = Math.atan2(z + ep2 * b * sin * sin * sin, r - es * a * cos * cos * cos);
}

/** Western edge of the area "east of the Mississippi" of the EPSG register, by southern edge of a band of latitude. */
const EAST_FROM: ReadonlyArray<readonly [lat: number, lon: number]> = [
  [43.5, -96.6],
  [40.6, -91.2],
  [36.5, -95.8],
  [33, -90.6],
  [-90, -94.05],
];
/** A rough line of the border of the United States and Canada: longitude, latitude from west to east. */
const BORDER: ReadonlyArray<readonly [number, number]> = [
  [-124.8, 48.3],
  [-123.3, 48.3],
  [-123.2, 49],
  [-95.2, 49],
  [-94.6, 48.7],
  [-92, 48.3],
  [-89.6, 48],
  [-88.4, 48.3],
  [-84.9, 46.9],
  [-84.3, 46.5],
  [-83.5, 46],
  [-82.43, 45.3],
  [-82.42, 41.7],
  [-78.95, 42.85],
  [-78.94, 43.4],
  [-76.8, 43.63],
  [-76.3, 44.2],
  [-74.7, 45],
  [-71.5, 45],
  [-70.9, 45.3],
  [-70.2, 46.2],
  [-69.2, 47.45],
  [-68.3, 47.35],
  [-67.8, 47.05],
  [-67.75, 45.8],
  [-67.4, 45.2],
  [-66.9, 44.7],
];

/** Codes of EPSG transformations of NAD27, by region. */
const WEST_US = '1175';
const EAST_US = '1174';
const MEAN_US = '1173';
const ALASKA = '1176';
const YUKON = '1183';
const ALBERTA = '1179';
const SASKATCHEWAN = '1182';
const ONTARIO = '1180';
const QUEBEC = '1181';
/** Cuba, Bahamas, Mexico, Central America, Panama, Caribbean: the first whose area in the register holds the place. */
const SOUTH = ['1530', '1177', '1187', '1171', '7698', '1170'];

/**
 * Which of the shifts of NAD27 holds at a place (degrees): states and provinces as the EPSG register groups them, told apart
 * along rough lines. At such a line two shifts differ by less than either is good for, so a place on its wrong side loses nothing
 * that counts.
 */
export function nad27Region(lon: number, lat: number, shifts: readonly Shift[]): string {
  if (lat < gulf(lon)) {
    const holds = ([w, s, e, n]: Box): boolean => lon >= w && lon <= e && lat >= s && lat <= n;
    return SOUTH.find((code) => shifts.find((s) => s.code === code)?.areas.some(holds)) ?? MEAN_US;
  }
  if (lat > 51 && lon < -141) return ALASKA;
  if (lat > border(lon) || isEssex(lon, lat)) {
    if (lat > 60 && lon < -65) return lon < -123.8 ? YUKON : SASKATCHEWAN;
    if (lon < -110) return ALBERTA;
    if (lon < -102) return SASKATCHEWAN;
    return lon < -79.5 || (lon < -74.4 && lat < 45.6 - 0.3 * (lon + 76)) ? ONTARIO : QUEBEC;
  }
  const [, west] = EAST_FROM.find(([south]) => lat >= south) ?? [0, -94.05];
  return lon >= west ? EAST_US : WEST_US;
}

/** The part of Ontario between Lake Erie and Lake St. Clair, which lies south of Michigan. */
const isEssex = (lon: number, lat: number): boolean =>
  lon > -83.1 && lon <= -82.42 && lat > 41.7 && lat < 42.25 + 1.03 * (lon + 83.1);

function border(lon: number): number {
  const k = BORDER.findIndex(([x]) => x > lon);
  if (k === 0) return lon < -130 ? 54.6 : 48.3;
  if (k < 0) return 44.7;
  const [[x0, y0], [x1, y1]] = [BORDER[k - 1], BORDER[k]];
  return y0 + ((y1 - y0) * (lon - x0)) / (x1 - x0);
}

/** The southern edge of the United States, roughly: from California to the Rio Grande, along it, then south of Florida. */
function gulf(lon: number): number {
  if (lon > -97) return 24;
  if (lon > -99.5) return 25.9 - 0.6 * (lon + 97.1);
  if (lon > -103) return 27.5 - 0.55 * (lon + 99.5);
  if (lon > -106.5) return 29.2 - 0.74 * (lon + 103.1);
  return lon > -111 ? 31.4 : 32.5;
}

/** The shifts of NAD27, each place by its region's. */
export function nad27Mover(shifts: readonly Shift[], a: number, es: number): Mover {
  const movers = new Map(shifts.map((s) => [s.code, helmert(s, a, es)]));
  const mean = movers.get(MEAN_US);
  if (!mean) throw new Error('the table of coordinate systems lacks the mean shift of NAD27');
  const at = (p: Angles): Mover => movers.get(nad27Region(p.x / RADIAN, p.y / RADIAN, shifts)) ?? mean;
  return { toWgs84: (p) => at(p).toWgs84(p), fromWgs84: (p) => at(p).fromWgs84(p) };
}

const RADIAN = Math.PI / 180;
