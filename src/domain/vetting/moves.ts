import { geodesicInverse } from '../base/geodesy.ts';
import type { Place } from '../base/geo.ts';

/** Moves of seed from places to a site, one row a place. */
export interface Moves {
  /** Geodesic km. */
  readonly distance: Float64Array;
  /** From the place to the site, degrees clockwise from north. */
  readonly bearing: Float64Array;
  /** Northward component, km (negative: southward). */
  readonly northward: Float64Array;
}

interface Places {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
}

function move(
  lon: number,
  lat: number,
  site: Place,
): { distance: number; bearing: number; northward: number } {
  const line = geodesicInverse(lon, lat, site.lon, site.lat);
  const distance = line.metres / 1000;
  return {
    distance,
    bearing: (line.azimuth1 + 360) % 360,
    northward: distance * Math.cos((line.azimuth1 * Math.PI) / 180),
  };
}

/** The move from each place to the site, on the WGS 84 ellipsoid (Karney 2013). */
export function moves(places: Places, site: Place): Moves {
  const n = places.lon.length;
  const distance = new Float64Array(n);
  const bearing = new Float64Array(n);
  const northward = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const one = move(places.lon[i], places.lat[i], site);
    distance[i] = one.distance;
    bearing[i] = one.bearing;
    northward[i] = one.northward;
  }
  return { distance, bearing, northward };
}

/** A sphere shows which sites may be the farthest: geodesics differ from its distances by 0.6 % at most. */
const NEAR_FARTHEST = 0.98;

/** Of several sites the move to the farthest one, place by place: the one that limits on transfer speak of. NaN with no site. */
export function farthestMoves(places: Places, sites: readonly Place[]): Moves {
  if (sites.length === 1) return moves(places, sites[0]);
  const n = places.lon.length;
  const unknown = (): Float64Array => new Float64Array(n).fill(NaN);
  const far = { distance: unknown(), bearing: unknown(), northward: unknown() };
  if (sites.length === 0) return far;
  const spots = sites.map(({ lon, lat }) => onSphere(lon, lat));
  const chord = new Float64Array(sites.length);
  for (let i = 0; i < n; i++) {
    const at = onSphere(places.lon[i], places.lat[i]);
    let longest = 0;
    for (let s = 0; s < spots.length; s++) {
      chord[s] = Math.hypot(at[0] - spots[s][0], at[1] - spots[s][1], at[2] - spots[s][2]);
      if (!(chord[s] <= longest)) longest = chord[s];
    }
    far.distance[i] = -1;
    for (let s = 0; s < spots.length; s++) {
      if (chord[s] < NEAR_FARTHEST * longest) continue;
      const one = move(places.lon[i], places.lat[i], sites[s]);
      if (one.distance <= far.distance[i]) continue;
      far.distance[i] = one.distance;
      far.bearing[i] = one.bearing;
      far.northward[i] = one.northward;
    }
  }
  return far;
}

function onSphere(lon: number, lat: number): readonly [number, number, number] {
  const [x, y] = [(lon * Math.PI) / 180, (lat * Math.PI) / 180];
  return [Math.cos(y) * Math.cos(x), Math.cos(y) * Math.sin(x), Math.sin(y)];
}
