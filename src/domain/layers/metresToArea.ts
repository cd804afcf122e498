import { geodesicMetres } from '../base/geodesy.ts';
import type { MultiPolygon, Place } from '../base/geo.ts';

const RADIANS = Math.PI / 180;
/** WGS 84 (NGA.STND.0036). */
const A = 6_378_137;
const F = 1 / 298.257223563;

/**
 * Metres on the ground from a place to the nearest point of an area, 0 inside it (even-odd over the rings of each polygon;
 * sides are straight in degrees, RFC 7946 section 3.1.1); NaN for an area without an outline. The length is the geodesic to
 * that point; the point is chosen by Lambert's formula, so that another may be nearer by a hundred-thousandth of the distance.
 */
export function metresToArea(area: MultiPolygon, { lon, lat }: Place): number {
  /** Ends of each side: degrees east of the place, without a jump at the 180th meridian, and latitude. */
  const sides: number[] = [];
  for (const polygon of area) {
    let inside = false;
    for (const ring of polygon) {
      if (ring.length === 0) continue;
      let x1 = turned(ring[ring.length - 1][0] - lon);
      let y1 = ring[ring.length - 1][1];
      for (const [vertexLon, y2] of ring) {
        const x2 = x1 + turned(vertexLon - lon - x1);
        sides.push(x1, y1, x2, y2);
        if (y1 > lat !== y2 > lat && x1 + ((lat - y1) / (y2 - y1)) * (x2 - x1) > 0) inside = !inside;
        x1 = x2;
        y1 = y2;
      }
    }
    if (inside) return 0;
  }
  const n = sides.length / 4;
  if (n === 0) return NaN;

  // In the plane of the middle latitude first: right to a hundredth within 2000 km, and quick.
  const near = new Float64Array(n);
  const foot = new Float64Array(n);
  let least = Infinity;
  for (let s = 0; s < n; s++) {
    const [x1, y1, x2, y2] = [sides[4 * s], sides[4 * s + 1], sides[4 * s + 2], sides[4 * s + 3]];
    const flat = Math.cos(((lat + (y1 + y2) / 2) / 2) * RADIANS);
    const [ux, uy, vx, vy] = [(x2 - x1) * flat, y2 - y1, x1 * flat, y1 - lat];
    const uu = ux * ux + uy * uy;
    foot[s] = uu === 0 ? 0 : Math.max(0, Math.min(1, -(vx * ux + vy * uy) / uu));
    near[s] = Math.hypot(vx + foot[s] * ux, vy + foot[s] * uy);
    if (near[s] < least) least = near[s];
  }
  const within = least * (1.01 + (least / 50) ** 2);
  let best = Infinity;
  let nearest: readonly [number, number] = [NaN, NaN];
  for (let s = 0; s < n; s++) {
    if (near[s] > within) continue;
    const [x1, y1, x2, y2] = [sides[4 * s], sides[4 * s + 1], sides[4 * s + 2], sides[4 * s + 3]];
    const at = (t: number): readonly [number, number] => [x1 + t * (x2 - x1), y1 + t * (y2 - y1)];
    const metresAt = (t: number): number => lambert(lat, ...at(t));
    // The foot of the plane will do on a side that is short beside the distance.
    const long = Math.hypot(x2 - x1, y2 - y1) > near[s] / 200;
    const t = long ? lowest(metresAt) : foot[s];
    const metres = metresAt(t);
    if (metres >= best) continue;
    best = metres;
    nearest = at(t);
  }
  return geodesicMetres(lon, lat, lon + nearest[0], nearest[1]);
}

/** Degrees of longitude within half a turn. */
const turned = (degrees: number): number => degrees - 360 * Math.round(degrees / 360);

/** Lambert's formula for long lines: metres to a place `dLon` degrees east at another latitude, good to about 10 m a 1000 km. */
function lambert(lat1: number, dLon: number, lat2: number): number {
  const b1 = Math.atan((1 - F) * Math.tan(lat1 * RADIANS));
  const b2 = Math.atan((1 - F) * Math.tan(lat2 * RADIANS));
  const p = (b1 + b2) / 2;
  const q = (b2 - b1) / 2;
  const h = Math.sin(q) ** 2 + Math.cos(b1) * Math.cos(b2) * Math.sin((dLon * RADIANS) / 2) ** 2;
  if (h < 1e-24) return 0;
  const angle = 2 * Math.asin(Math.min(1, Math.sqrt(h)));
  const x = ((angle - Math.sin(angle)) * (Math.sin(p) * Math.cos(q)) ** 2) / (1 - h || 1e-24);
  const y = ((angle + Math.sin(angle)) * (Math.cos(p) * Math.sin(q)) ** 2) / h;
  return A * (angle - (F / 2) * (x + y));
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Where in 0 to 1 a function with one valley is lowest (golden-section search), the ends counted in. */
function lowest(f: (t: number) => number): number {
  let [a, b] = [0, 1];
  let [c, d] = [1 - GOLDEN, GOLDEN];
  let [fc, fd] = [f(c), f(d)];
  for (let i = 0; i < 40; i++) {
    if (fc < fd) {
      [b, d, fd] = [d, c, fc];
      c = b - GOLDEN * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + GOLDEN * (b - a);
      fd = f(d);
    }
  }
  const middle = (a + b) / 2;
  return [0, 1].reduce((t, end) => (f(end) < f(t) ? end : t), middle);
}
