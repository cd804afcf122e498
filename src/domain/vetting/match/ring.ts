/**
 * What the uncertainty of a candidate's position does to its match: the lowest and highest match over the place itself
 * and a ring of 12 places at the accuracy radius (methods, environmental match).
 */
import { geodesicDirect } from '../../base/geodesy.ts';
import { localFrame } from '../../base/localFrame.ts';

export const RING_POINTS = 12;

export interface RingPlaces {
  /** Candidates that have a ring, m of them. */
  readonly rows: Int32Array;
  /** m x 12 places, those of one candidate together. */
  readonly lon: Float64Array;
  readonly lat: Float64Array;
}

/** Over this radius the plane about the candidate is no longer good enough (0.04 % at 10 km) and geodesics are used. */
const PLANE_METRES = 10_000;

/** The ring of every candidate with a recorded radius over zero, metres; first place due north, then clockwise. */
export function ringPlaces(lon: Float64Array, lat: Float64Array, accuracy: Float64Array): RingPlaces {
  const rows: number[] = [];
  for (let i = 0; i < lon.length; i++) if (accuracy[i] > 0 && Number.isFinite(accuracy[i])) rows.push(i);
  const out = {
    lon: new Float64Array(rows.length * RING_POINTS),
    lat: new Float64Array(rows.length * RING_POINTS),
  };
  rows.forEach((i, m) => {
    const r = accuracy[i];
    const frame = localFrame(lat[i]);
    for (let p = 0; p < RING_POINTS; p++) {
      const azimuth = (360 * p) / RING_POINTS;
      const at = m * RING_POINTS + p;
      if (r > PLANE_METRES) {
        const place = geodesicDirect(lon[i], lat[i], azimuth, r);
        out.lon[at] = place.lon;
        out.lat[at] = place.lat;
      } else {
        out.lon[at] = lon[i] + (r * Math.sin((azimuth * Math.PI) / 180)) / frame.lonMetres;
        out.lat[at] = lat[i] + (r * Math.cos((azimuth * Math.PI) / 180)) / frame.latMetres;
      }
    }
  });
  return { rows: Int32Array.from(rows), ...out };
}

export interface MatchRange {
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Ring places without a match (off the layers, or in a hole of one); they are not in low and high. */
  readonly missing: Uint8Array;
}

/**
 * Lowest and highest match of each candidate over its place and its ring; both equal the match where it has no ring, and
 * NaN where the match itself is unknown.
 * @param match n candidates. @param rows,onRing m candidates and the match at their m x 12 ring places.
 */
export function ring(match: Float64Array, rows: Int32Array, onRing: Float64Array): MatchRange {
  const low = Float64Array.from(match);
  const high = Float64Array.from(match);
  const missing = new Uint8Array(match.length);
  rows.forEach((i, m) => {
    for (let p = m * RING_POINTS; p < (m + 1) * RING_POINTS; p++) {
      const x = onRing[p];
      if (Number.isNaN(x)) missing[i]++;
      else if (x < low[i]) low[i] = x;
      else if (x > high[i]) high[i] = x;
    }
  });
  return { low, high, missing };
}
