/** Metres from a place to an area, against the geodesics to many points of the outline. */
import { describe, expect, it } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import type { MultiPolygon } from '../../../src/domain/base/geo.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { metresToArea } from '../../../src/domain/layers/metresToArea.ts';

const PIECES = 400;

function bruteForce(area: MultiPolygon, lon: number, lat: number): number {
  let least = Infinity;
  for (const polygon of area)
    for (const ring of polygon)
      for (let i = 0; i < ring.length; i++) {
        const [x1, y1] = ring[i];
        const [x2, y2] = ring[(i + 1) % ring.length];
        for (let k = 0; k < PIECES; k++) {
          const t = k / PIECES;
          least = Math.min(least, geodesicMetres(lon, lat, x1 + t * (x2 - x1), y1 + t * (y2 - y1)));
        }
      }
  return least;
}

describe('metres to an area', () => {
  it.each([1, 2, 3])('are those to the nearest of many points of the outline, seed %d', (seed) => {
    const random = rng(seed);
    for (let n = 0; n < 6; n++) {
      const lon = -95 + 25 * random();
      const lat = 28 + 20 * random();
      const reach = 10 ** (-2 + 2.5 * random());
      const ring = Array.from({ length: 9 }, (_, i) => {
        const r = reach * (0.4 + 0.6 * random());
        return [
          lon + r * Math.cos((2 * Math.PI * i) / 9),
          lat + r * Math.sin((2 * Math.PI * i) / 9),
        ] as const;
      });
      const area: MultiPolygon = [[[...ring, ring[0]]]];
      const away = reach * (1.1 + 8 * random());
      const towards = 2 * Math.PI * random();
      const place = { lon: lon + away * Math.cos(towards), lat: lat + away * Math.sin(towards) };
      const want = bruteForce(area, place.lon, place.lat);
      const got = metresToArea(area, place);
      // Points of the brute force are up to a side / 400 apart, so that it finds a little more.
      const apart = (reach * 111_000) / PIECES;
      expect(got).toBeLessThan(want * (1 + 1e-5) + 1e-6);
      expect(got).toBeGreaterThan(want - (apart * apart) / want - 1e-5 * want - apart / 100);
    }
  });

  it('are nothing inside, and count in a hole', () => {
    const square = (a: number, b: number) =>
      [
        [a, a],
        [b, a],
        [b, b],
        [a, b],
        [a, a],
      ] as const;
    const area: MultiPolygon = [[square(10, 20), square(14, 16)]];
    expect(metresToArea(area, { lon: 12, lat: 12 })).toBe(0);
    // A degree of longitude at 15 N: 107 551 m to the nearest side, which is half a degree nearer the other way round.
    const got = metresToArea(area, { lon: 15, lat: 15 });
    expect(got).toBeCloseTo(bruteForce(area, 15, 15), -1);
    expect(got).toBeGreaterThan(100_000);
    expect(metresToArea([], { lon: 0, lat: 0 })).toBeNaN();
  });

  it('go the short way over the 180th meridian', () => {
    const area: MultiPolygon = [
      [
        [
          [178, -1],
          [179, -1],
          [179, 1],
          [178, 1],
          [178, -1],
        ],
      ],
    ];
    const got = metresToArea(area, { lon: -179, lat: 0 });
    expect(got).toBeCloseTo(geodesicMetres(-179, 0, 179, 0), 3);
  });
});
