import { describe, expect, it } from 'vitest';
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

  it('is unknown for a place that is not known', () => {
    const nowhere = farthestMoves({ lon: Float64Array.of(NaN), lat: Float64Array.of(NaN) }, [north, south]);
    expect([nowhere.distance[0], nowhere.bearing[0], nowhere.northward[0]]).toEqual([NaN, NaN, NaN]);
  });
});
