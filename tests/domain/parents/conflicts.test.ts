import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { geodesicDirect, geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { components, conflictGraph, inducedGraph, tooClose } from '../../../src/domain/parents/conflicts.ts';
import { isClose, onMeridian, QUARTER_MILE, randomProblem } from './oracle.ts';

const pair = (lon: number, lat: number, azimuth: number, metres: number) => {
  const other = geodesicDirect(lon, lat, azimuth, metres);
  return { lon: Float64Array.of(lon, other.lon), lat: Float64Array.of(lat, other.lat) };
};

describe('trees too close together', () => {
  it('are 401 m apart at a spacing of a quarter mile, and 403 m apart are not', () => {
    for (const lat of [28, 39, 48]) {
      for (let azimuth = 0; azimuth < 360; azimuth += 15) {
        const near = pair(-82, lat, azimuth, 401);
        const far = pair(-82, lat, azimuth, 403);
        expect(tooClose(near, QUARTER_MILE)(0, 1)).toBe(true);
        expect(tooClose(far, QUARTER_MILE)(0, 1)).toBe(false);
      }
    }
  });

  it('are told to micrometres on either side of the spacing, the same from both ends', () => {
    for (const azimuth of [0, 37, 90, 211]) {
      const near = tooClose(pair(-82, 39, azimuth, QUARTER_MILE - 3e-6), QUARTER_MILE);
      const far = tooClose(pair(-82, 39, azimuth, QUARTER_MILE), QUARTER_MILE);
      expect([near(0, 1), near(1, 0)]).toEqual([true, true]);
      expect([far(0, 1), far(1, 0)]).toEqual([false, false]);
    }
  });

  it('may stand exactly the spacing apart', () => {
    // Set out by the geodesic, so that the way back differs in the last digits only.
    for (let azimuth = 0; azimuth < 360; azimuth += 7) {
      const close = tooClose(pair(-82, 39, azimuth, 500), 500);
      expect([close(0, 1), close(1, 0)]).toEqual([false, false]);
    }
  });

  it('are none where the spacing is zero, even at one place', () => {
    const spots = { lon: Float64Array.of(-82, -82), lat: Float64Array.of(39, 39) };
    const close = tooClose(spots, 0);
    expect(close(0, 1)).toBe(false);
    expect(Array.from(conflictGraph(spots, [0, 1], 0, close).start)).toEqual([0, 0, 0]);
  });
});

describe('the graph of conflicts', () => {
  it('holds every pair that is too close and no other, on 200 random cases at spacings of 30 m to 20 km', () => {
    fc.assert(
      fc.property(
        randomProblem({ locks: 0, bans: 0 }),
        fc.constantFrom(30, 200, QUARTER_MILE, 800, 20_000),
        (p, spacing) => {
          const n = p.lon.length;
          const rows = Array.from({ length: n }, (_, r) => r).filter((r) => r % 5 !== 2);
          const at = { ...p, spacing };
          const graph = conflictGraph(p, rows, spacing, tooClose(p, spacing));
          expect(graph.n).toBe(rows.length);
          rows.forEach((r, i) => {
            const own = Array.from(graph.list.slice(graph.start[i], graph.start[i + 1]));
            const truth = rows.map((_, j) => j).filter((j) => j !== i && isClose(at, r, rows[j]));
            expect(own).toEqual(truth);
          });
        },
      ),
      { numRuns: 200, seed: 20261125 },
    );
  });

  it('finds neighbours over many degrees of latitude', () => {
    const places = [25, 35, 45, 49].flatMap((lat) =>
      [0, 90, 180, 270].flatMap((a) => [{ lon: -82, lat }, geodesicDirect(-82, lat, a, 401)]),
    );
    const spots = {
      lon: Float64Array.from(places, (s) => s.lon),
      lat: Float64Array.from(places, (s) => s.lat),
    };
    const rows = places.map((_, i) => i);
    const graph = conflictGraph(spots, rows, QUARTER_MILE, tooClose(spots, QUARTER_MILE));
    for (const i of rows)
      expect(Array.from(graph.list.slice(graph.start[i], graph.start[i + 1]))).toEqual(
        rows.filter(
          (j) =>
            j !== i && geodesicMetres(spots.lon[i], spots.lat[i], spots.lon[j], spots.lat[j]) < QUARTER_MILE,
        ),
      );
    expect(graph.list.length).toBeGreaterThan(100);
  });

  // 0 - 300 - 600 m touch in a chain; 5000 - 5300 m are a pair; 9000 m stands alone.
  it('falls into parts, and a part keeps its own conflicts', () => {
    const spots = onMeridian([5000, 0, 9000, 300, 600, 5300]);
    const graph = conflictGraph(spots, [0, 1, 2, 3, 4, 5], QUARTER_MILE, tooClose(spots, QUARTER_MILE));
    expect(components(graph)).toEqual([[0, 5], [1, 3, 4], [2]]);
    expect(components(graph, (v) => v !== 3)).toEqual([[0, 5], [1], [2], [4]]);
    const part = inducedGraph(graph, [4, 3, 1]);
    expect(Array.from(part.start)).toEqual([0, 1, 3, 4]);
    expect(Array.from(part.list)).toEqual([1, 0, 2, 1]);
  });
});
