/**
 * Distances and directions on the WGS 84 ellipsoid (Karney 2013, J. Geodesy 87:43-55, through GeographicLib's own
 * JavaScript; error of the library about 15 nanometres). Degrees, lon before lat; azimuths clockwise from north.
 */
import geodesic from 'geographiclib-geodesic';
import type { Place } from './geo.ts';

const { WGS84, DISTANCE } = geodesic.Geodesic;
const RADIANS = Math.PI / 180;

/** Length of the shortest path between two places, metres. NaN where a coordinate is not a number. */
export function geodesicMetres(lon1: number, lat1: number, lon2: number, lat2: number): number {
  return WGS84.Inverse(lat1, lon1, lat2, lon2, DISTANCE).s12 ?? NaN;
}

export interface GeodesicLine {
  readonly metres: number;
  /** Direction at the first and at the second place, degrees clockwise from north, [-180, 180]. */
  readonly azimuth1: number;
  readonly azimuth2: number;
}

/** Length and both directions of the shortest path from place 1 to place 2. */
export function geodesicInverse(lon1: number, lat1: number, lon2: number, lat2: number): GeodesicLine {
  const r = WGS84.Inverse(lat1, lon1, lat2, lon2);
  return { metres: r.s12 ?? NaN, azimuth1: r.azi1 ?? NaN, azimuth2: r.azi2 ?? NaN };
}

/** The place reached from (lon, lat) after `metres` in direction `azimuth` (degrees clockwise from north). */
export function geodesicDirect(lon: number, lat: number, azimuth: number, metres: number): Place {
  const r = WGS84.Direct(lat, lon, azimuth, metres);
  return { lon: r.lon2 ?? NaN, lat: r.lat2 ?? NaN };
}

/** n places at `metres` around (lon, lat), the first due north, then clockwise; not closed. */
export function geodesicRing(lon: number, lat: number, metres: number, n = 12): Place[] {
  return Array.from({ length: n }, (_, i) => geodesicDirect(lon, lat, (360 * i) / n, metres));
}

/**
 * Metres in one degree of longitude and of latitude at a latitude: radius of the parallel, and the meridian's radius of
 * curvature, of WGS 84 (Snyder 1987, USGS Professional Paper 1395, eqs 4-18 to 4-21).
 *
 * For prefilters and short distances: hypot(dLon * lonMetres, dLat * latMetres). Largest relative error measured against
 * the geodesic between 25 and 50 degrees of latitude, all directions: with the frame of the middle latitude 2e-9 at 1 km,
 * 2e-7 at 10 km, 2e-5 at 100 km; with the frame of one end 4e-5 at 1 km, 4e-4 at 10 km, 4e-3 at 100 km.
 */
export function localFrame(lat: number): { readonly lonMetres: number; readonly latMetres: number } {
  const e2 = WGS84.f * (2 - WGS84.f);
  const sin = Math.sin(lat * RADIANS);
  const w2 = 1 - e2 * sin * sin;
  const normal = WGS84.a / Math.sqrt(w2);
  return {
    lonMetres: normal * Math.cos(lat * RADIANS) * RADIANS,
    latMetres: ((normal * (1 - e2)) / w2) * RADIANS,
  };
}
