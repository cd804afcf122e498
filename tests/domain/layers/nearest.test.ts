import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import type { Area, Line, Track } from '../../../src/domain/base/geo.ts';
import { areaShapes, nearest, spotShapes, trackShapes } from '../../../src/domain/layers/nearest.ts';
import { at, box, zone } from '../zones/grid.ts';

const area = (x0: number, y0: number, x1: number, y1: number): Area => zone('', box(x0, y0, x1, y1)).area;
const track = (...points: Array<[number, number]>): Track => ({
  lines: [points.map(([x, y]) => at(x, y))],
  attributes: {},
});
const ask = (x: number, y: number): [Float64Array, Float64Array] => {
  const [lon, lat] = at(x, y);
  return [Float64Array.of(lon), Float64Array.of(lat)];
};

/** Least geodesic distance to 2,000 points along each segment: slow, and independent of tree, plane and projection. */
function bruteForce(lines: readonly Line[], lon: number, lat: number): number {
  let best = Infinity;
  for (const line of lines) {
    for (let i = 0; i + 1 < line.length; i++) {
      // Coarse steps first, then fine ones about the best of them.
      let [from, to] = [0, 1];
      for (let round = 0; round < 4; round++) {
        const steps = Array.from({ length: 21 }, (_, k) => from + ((to - from) * k) / 20);
        const d = steps.map((t) =>
          geodesicMetres(
            lon,
            lat,
            line[i][0] + t * (line[i + 1][0] - line[i][0]),
            line[i][1] + t * (line[i + 1][1] - line[i][1]),
          ),
        );
        const k = d.indexOf(Math.min(...d));
        best = Math.min(best, d[k]);
        [from, to] = [steps[Math.max(0, k - 1)], steps[Math.min(20, k + 1)]];
      }
    }
  }
  return best;
}

describe('buildings', () => {
  const index = areaShapes([area(0, 0, 20, 10), area(60, 0, 80, 10), area(1_000, 0, 1_020, 10)]);

  test('distance to the outline, 0 inside, the one that is near', () => {
    const r = nearest(index, ...ask(30, 5), { within: 100 });
    expect(r.metres[0]).toBeCloseTo(10, 3);
    expect(r.which[0]).toBe(0);
    expect(r.count[0]).toBe(2);
    const inside = nearest(index, ...ask(10, 5), { within: 100 });
    expect(inside.metres[0]).toBe(0);
    expect(inside.which[0]).toBe(0);
    expect(inside.count[0]).toBe(2);
    expect(nearest(index, ...ask(500, 5), { within: 100 }).count[0]).toBe(0);
  });

  test('a building is counted once however many of its walls are near', () => {
    expect(nearest(areaShapes([area(0, 0, 5, 5)]), ...ask(8, 2), { within: 100 }).count[0]).toBe(1);
  });

  test('inside a large hall whose walls are far it is still within 100 m', () => {
    const r = nearest(areaShapes([area(0, 0, 600, 600)]), ...ask(300, 300), { within: 100 });
    expect([r.metres[0], r.count[0]]).toEqual([0, 1]);
  });

  test('a courtyard is outside', () => {
    const hall = zone('', box(0, 0, 100, 100), box(40, 40, 60, 60)).area;
    expect(nearest(areaShapes([hall]), ...ask(50, 50)).metres[0]).toBeCloseTo(10, 3);
  });

  test('far outside the extent nothing is known', () => {
    const r = nearest(index, ...ask(3_000, 5), { within: 100, reach: 1_000 });
    expect([r.metres[0], r.count[0], r.which[0]]).toEqual([NaN, NaN, -1]);
    expect(nearest(index, ...ask(1_900, 5), { reach: 1_000 }).metres[0]).toBeCloseTo(880, 1);
  });

  test('an empty layer, and a place that is no place', () => {
    expect(nearest(areaShapes([]), ...ask(0, 0), { within: 100 }).metres[0]).toBeNaN();
    expect(nearest(areaShapes([]), ...ask(0, 0), { within: 100 }).count[0]).toBeNaN();
    expect(nearest(index, Float64Array.of(NaN), Float64Array.of(38)).metres[0]).toBeNaN();
  });
});

test('only shapes that are kept count', () => {
  const index = trackShapes([track([0, 0], [0, 100]), track([50, 0], [50, 100])]);
  expect(nearest(index, ...ask(10, 50)).metres[0]).toBeCloseTo(10, 3);
  const r = nearest(index, ...ask(10, 50), { keep: (s) => s === 1 });
  expect(r.metres[0]).toBeCloseTo(40, 3);
  expect(r.which[0]).toBe(1);
});

test('spots', () => {
  const spots = [at(0, 0), at(100, 0)].map(([lon, lat]) => ({ lon, lat, attributes: {} }));
  const r = nearest(spotShapes(spots), ...ask(70, 0));
  expect(r.metres[0]).toBeCloseTo(30, 3);
  expect(r.which[0]).toBe(1);
});

test('the same as brute force on lines within some kilometres (property)', () => {
  const coordinate = fc.double({ min: -1_500, max: 1_500, noNaN: true });
  const line = fc.array(fc.tuple(coordinate, coordinate), { minLength: 2, maxLength: 5 });
  fc.assert(
    fc.property(fc.array(line, { minLength: 1, maxLength: 30 }), coordinate, coordinate, (lines, x, y) => {
      const tracks = lines.map((l) => track(...l));
      const [lon, lat] = ask(x, y);
      const truth = bruteForce(
        tracks.flatMap((t) => t.lines),
        lon[0],
        lat[0],
      );
      const got = nearest(trackShapes(tracks), lon, lat).metres[0];
      expect(Math.abs(got - truth)).toBeLessThan(0.02 + 1e-4 * truth);
    }),
    { numRuns: 150, seed: 4 },
  );
});

test('far away within a hundredth of the distance (property)', () => {
  const degree = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(degree, degree), { minLength: 2, maxLength: 12 }),
      degree,
      degree,
      (points, u, v) => {
        // An outline of up to a degree in Ohio, places up to a degree to the south west.
        const lines: Line[] = [points.map(([a, b]) => [-83 + a, 40 + b] as const)];
        const [lon, lat] = [-83.2 - u, 39.8 - v];
        const truth = bruteForce(lines, lon, lat);
        const got = nearest(
          trackShapes([{ lines, attributes: {} }]),
          Float64Array.of(lon),
          Float64Array.of(lat),
        ).metres[0];
        expect(got).toBeGreaterThan(truth * (1 - 1e-6));
        expect(got).toBeLessThan(truth * 1.01);
      },
    ),
    { numRuns: 100, seed: 5 },
  );
});

test('counts are those of brute force (property)', () => {
  const coordinate = fc.integer({ min: -250, max: 250 });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(coordinate, coordinate), { maxLength: 60, minLength: 1 }),
      coordinate,
      coordinate,
      (corners, x, y) => {
        const areas = corners.map(([a, b]) => area(a, b, a + 12.5, b + 8.5));
        const truth = corners.filter(([a, b]) => {
          const dx = Math.max(a - x, x - (a + 12.5), 0);
          const dy = Math.max(b - y, y - (b + 8.5), 0);
          return Math.hypot(dx, dy) <= 99.9;
        }).length;
        // 0.1 m of play, for the plane of the test is not that of the place.
        expect(nearest(areaShapes(areas), ...ask(x, y), { within: 99.95 }).count[0]).toBeGreaterThanOrEqual(
          truth,
        );
        expect(nearest(areaShapes(areas), ...ask(x, y), { within: 99.85 }).count[0]).toBeLessThanOrEqual(
          truth,
        );
      },
    ),
    { numRuns: 100, seed: 6 },
  );
});
