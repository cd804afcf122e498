import { geodesicDirect } from '../../src/domain/base/geodesy.ts';
import { FRAME, type Local, toLocal, toLonLat } from './frame.ts';
import type { Ground } from './ground.ts';
import type { Rng } from './rng.ts';

export type Test = (p: Local) => boolean;

/** A place by direction (degrees clockwise from north) and metres on the ellipsoid; lon, lat as a file holds them. */
export function byGeodesic(
  from: Local,
  azimuth: number,
  metres: number,
): { place: Local; lon: number; lat: number } {
  const [lon, lat] = toLonLat(from, 7);
  const p = geodesicDirect(lon, lat, azimuth, metres);
  const at = { lon: Math.round(p.lon * 1e7) / 1e7, lat: Math.round(p.lat * 1e7) / 1e7 };
  return { place: toLocal([at.lon, at.lat]), ...at };
}

/** First of many random places that passes all tests; a demo that cannot be laid out is a bug in tuning.ts. */
export function find(
  what: string,
  r: Rng,
  tests: readonly Test[],
  around?: { at: Local; metres: number },
): Local {
  for (let tries = 0; tries < 400_000; tries++) {
    const p: Local = around
      ? [
          around.at[0] + r.between(-around.metres, around.metres),
          around.at[1] + r.between(-around.metres, around.metres),
        ]
      : [r.between(1000, FRAME.size - 1000), r.between(1000, FRAME.size - 1000)];
    if (p[0] < 1000 || p[1] < 1000 || p[0] > FRAME.size - 1000 || p[1] > FRAME.size - 1000) continue;
    if (tests.every((t) => t(p))) return p;
  }
  throw new Error(`no place found for ${what}`);
}

/** Deep in the woods: forest all round, nothing built, no road near, but one within a walk. */
export function isWild(g: Ground, p: Local): boolean {
  const cover = g.coverAt(p);
  return (
    (cover === 41 || cover === 43) &&
    g.toRoad(p) > 140 &&
    g.toBuilding(p) > 400 &&
    g.shares(p, 120).forest > 0.96 &&
    g.toDrivable(p) < 1350 &&
    g.shares(p, 500).developed < 0.03
  );
}
