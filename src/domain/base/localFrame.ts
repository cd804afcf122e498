/** Half axis (metres) and flattening of the WGS 84 ellipsoid (NGA.STND.0036). */
const A = 6_378_137;
const F = 1 / 298.257223563;
const RADIANS = Math.PI / 180;

/**
 * Metres in one degree of longitude and of latitude at a latitude: radius of the parallel, and the meridian's radius of
 * curvature, of WGS 84 (Snyder 1987, USGS Professional Paper 1395, eqs 4-18 to 4-21).
 *
 * For prefilters and short distances: hypot(dLon * lonMetres, dLat * latMetres). Largest relative error measured against
 * the geodesic between 25 and 50 degrees of latitude, all directions: with the frame of the middle latitude 2e-9 at 1 km,
 * 2e-7 at 10 km, 2e-5 at 100 km; with the frame of one end 4e-5 at 1 km, 4e-4 at 10 km, 4e-3 at 100 km.
 */
export function localFrame(lat: number): { readonly lonMetres: number; readonly latMetres: number } {
  const e2 = F * (2 - F);
  const sin = Math.sin(lat * RADIANS);
  const w2 = 1 - e2 * sin * sin;
  const normal = A / Math.sqrt(w2);
  return {
    lonMetres: normal * Math.cos(lat * RADIANS) * RADIANS,
    latMetres: ((normal * (1 - e2)) / w2) * RADIANS,
  };
}

/** Metres between two places that are near one another, in the frame of their middle latitude: good to 2e-7 at 10 km. */
export function frameMetres(lon1: number, lat1: number, lon2: number, lat2: number): number {
  const { lonMetres, latMetres } = localFrame((lat1 + lat2) / 2);
  return Math.hypot((lon1 - lon2) * lonMetres, (lat1 - lat2) * latMetres);
}
