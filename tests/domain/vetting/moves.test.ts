import { describe, expect, it } from 'vitest';
import { geodesicDirect } from '../../../src/domain/base/geodesy.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { farthestMoves, moves } from '../../../src/domain/vetting/moves.ts';

const places = { lon: Float64Array.of(-82, -82, -83), lat: Float64Array.of(39, 40, 39) };
const north = { lon: -82, lat: 40 };
const south = { lon: -82, lat: 38 };

describe('moves of seed to a site', () => {
  it('are geodesic, with bearing and northward part: a degree of the meridian is 111 km', () => {
    const { distance, bearing, northward } = moves(places, north);
    expect(distance[0]).toBeCloseTo(111.02, 1);
    expect([bearing[0], northward[0]]).toEqual([0, distance[0]]);
    expect(distance[1]).toBe(0);
    expect(northward[1]).toBeCloseTo(0, 12);
    expect(bearing[2]).toBeGreaterThan(35);
    expect(bearing[2]).toBeLessThan(45);
    expect(northward[2]).toBeCloseTo(distance[2] * Math.cos((bearing[2] * Math.PI) / 180), 9);
    expect(moves(places, south).northward[1]).toBeLessThan(-220);
  });

  it('of several sites the farthest counts, place by place, whole', () => {
    const far = farthestMoves(places, [north, south]);
    const [a, b] = [moves(places, north), moves(places, south)];
    for (let i = 0; i < 3; i++) {
      const from = a.distance[i] >= b.distance[i] ? a : b;
      expect([far.distance[i], far.bearing[i], far.northward[i]]).toEqual([
        from.distance[i],
        from.bearing[i],
        from.northward[i],
      ]);
    }
    expect(far.northward[1]).toBeLessThan(-220);
    expect(farthestMoves(places, [north])).toEqual(a);
  });

  it('of many sites, some at nearly one distance, is the one that geodesics say (seed 8)', () => {
    const random = rng(8);
    const lon = Float64Array.from({ length: 60 }, () => -90 + 20 * random());
    const lat = Float64Array.from({ length: 60 }, () => 30 + 15 * random());
    // On a circle about the middle, so that trees near it are about as far from each.
    const sites = Array.from({ length: 24 }, (_, k) => geodesicDirect(-80, 38, 15 * k, 400_000));
    const all = { lon: Float64Array.of(-80, ...lon), lat: Float64Array.of(38, ...lat) };
    const far = farthestMoves(all, sites);
    const each = sites.map((site) => moves(all, site));
    for (let i = 0; i < 61; i++) expect(far.distance[i]).toBe(Math.max(...each.map((m) => m.distance[i])));
  });

  it('is unknown for a place that is not known', () => {
    const nowhere = farthestMoves({ lon: Float64Array.of(NaN), lat: Float64Array.of(NaN) }, [north, south]);
    expect([nowhere.distance[0], nowhere.bearing[0], nowhere.northward[0]]).toEqual([NaN, NaN, NaN]);
  });
});
