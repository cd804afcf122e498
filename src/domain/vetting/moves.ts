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

/** The move from each place to the site, on the WGS 84 ellipsoid (Karney 2013). */
export function moves(
  places: { readonly lon: Float64Array; readonly lat: Float64Array },
  site: Place,
): Moves {
  const n = places.lon.length;
  const distance = new Float64Array(n);
  const bearing = new Float64Array(n);
  const northward = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const line = geodesicInverse(places.lon[i], places.lat[i], site.lon, site.lat);
    distance[i] = line.metres / 1000;
    bearing[i] = (line.azimuth1 + 360) % 360;
    northward[i] = distance[i] * Math.cos((line.azimuth1 * Math.PI) / 180);
  }
  return { distance, bearing, northward };
}

/** Of several sites the move to the farthest one, place by place: the one that limits on transfer speak of. */
export function farthestMoves(
  places: { readonly lon: Float64Array; readonly lat: Float64Array },
  sites: readonly Place[],
): Moves {
  const far = moves(places, sites[0]);
  for (const site of sites.slice(1)) {
    const next = moves(places, site);
    for (let i = 0; i < far.distance.length; i++) {
      if (!(next.distance[i] > far.distance[i])) continue;
      far.distance[i] = next.distance[i];
      far.bearing[i] = next.bearing[i];
      far.northward[i] = next.northward[i];
    }
  }
  return far;
}
