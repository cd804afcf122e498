/** The point that stands for a polygon. Areas against GeographicLib's own polygon area (Karney 2013, section 6). */
import booleanPointInPolygon from '@turf/boolean-point-in-polygon';
import { multiPolygon } from '@turf/helpers';
import fc from 'fast-check';
import geodesic from 'geographiclib-geodesic';
import { describe, expect, test } from 'vitest';
import type { MultiPolygon, Ring } from '../../../src/domain/base/geo.ts';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { standPoint } from '../../../src/domain/candidates/standPoint.ts';
import { at } from '../zones/grid.ts';

const ring = (...xy: Array<[number, number]>): Ring => [...xy, xy[0]].map(([x, y]) => at(x, y));
const isIn = (outline: MultiPolygon, lon: number, lat: number): boolean =>
  booleanPointInPolygon(
    [lon, lat],
    multiPolygon(outline.map((p) => p.map((r) => r.map(([x, y]) => [x, y])))),
  );

/** The part of the library that the project's own types leave out. */
const sphere = geodesic.Geodesic.WGS84 as unknown as {
  Polygon(line: boolean): {
    AddPoint(lat: number, lon: number): void;
    Compute(reverse: boolean, sign: boolean): { area?: number };
  };
};

describe('the point of a stand', () => {
  test('is the middle of a square, its radius reaches the corners', () => {
    const p = standPoint([[ring([0, 0], [100, 0], [100, 100], [0, 100])]]);
    const [lon, lat] = at(50, 50);
    expect(geodesicMetres(p?.lon ?? 0, p?.lat ?? 0, lon, lat)).toBeLessThan(1);
    expect(p?.radius).toBeCloseTo(70.7, 0);
    expect((p?.area ?? 0) / 1e4).toBeCloseTo(1, 2);
  });

  test('lies inside a horseshoe and beside a hole, where the centroid does not', () => {
    const horseshoe: MultiPolygon = [
      [ring([0, 0], [300, 0], [300, 300], [200, 300], [200, 100], [100, 100], [100, 300], [0, 300])],
    ];
    const holed: MultiPolygon = [
      [ring([0, 0], [300, 0], [300, 300], [0, 300]), ring([60, 60], [240, 60], [240, 240], [60, 240])],
    ];
    for (const outline of [horseshoe, holed]) {
      const [lon, lat] = at(150, 150);
      expect(isIn(outline, lon, lat)).toBe(false);
      const p = standPoint(outline);
      expect(isIn(outline, p?.lon ?? 0, p?.lat ?? 0)).toBe(true);
    }
    expect((standPoint(holed)?.area ?? 0) / 1e4).toBeCloseTo(9 - 3.24, 2);
  });

  test('of several parts lies in the roomiest, and its radius covers all', () => {
    const parts: MultiPolygon = [
      [ring([0, 0], [20, 0], [20, 20], [0, 20])],
      [ring([500, 0], [600, 0], [600, 100], [500, 100])],
    ];
    const p = standPoint(parts);
    const [lon, lat] = at(550, 50);
    expect(geodesicMetres(p?.lon ?? 0, p?.lat ?? 0, lon, lat)).toBeLessThan(2);
    expect(p?.radius).toBeGreaterThan(540);
  });

  test('is none where there is no ground', () => {
    expect(standPoint([])).toBeNull();
    expect(standPoint([[ring([0, 0], [10, 0], [20, 0])]])).toBeNull();
  });

  test('is inside, covers every corner, and the area agrees with GeographicLib, for star-shaped stands (property)', () => {
    const star = fc.array(fc.integer({ min: 20, max: 900 }), { minLength: 4, maxLength: 24 });
    fc.assert(
      fc.property(star, (reach) => {
        const corners = reach.map((r, i): [number, number] => {
          const a = (2 * Math.PI * i) / reach.length;
          return [1000 + r * Math.cos(a), 1000 + r * Math.sin(a)];
        });
        const outline: MultiPolygon = [[ring(...corners)]];
        const p = standPoint(outline);
        if (!p) throw new Error('no point');
        expect(isIn(outline, p.lon, p.lat)).toBe(true);
        for (const [lon, lat] of outline[0][0])
          expect(geodesicMetres(p.lon, p.lat, lon, lat)).toBeLessThan(p.radius * 1.001 + 0.01);
        const shape = sphere.Polygon(false);
        for (const [lon, lat] of outline[0][0].slice(0, -1)) shape.AddPoint(lat, lon);
        const area = Math.abs(shape.Compute(false, true).area ?? NaN);
        expect(Math.abs(p.area / area - 1)).toBeLessThan(1e-3);
      }),
      { numRuns: 100, seed: 5 },
    );
  });
});
