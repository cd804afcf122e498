/**
 * Areas on the WGS 84 ellipsoid.
 *
 * PLANIMETER: cases 0 and 5 of the tests that GeographicLib publishes with its libraries (test/geodesictest.js of the
 * package geographiclib-geodesic 2.2.0, read there), to the tolerances given there; source of the method: C. F. F. Karney,
 * Algorithms for geodesics, J. Geodesy 87 (2013) 43-55, section 6.
 * FIELDS: tests/fixtures/sites/areas.txt, square metres by SpatiaLite 5.0.1 through GDAL 3.6.2 (make.sh beside it);
 * a millionth is what is asked: its own series is not said to be nearer.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { geodesicArea } from '../../src/domain/base/geodesy.ts';
import type { MultiPolygon } from '../../src/domain/base/geo.ts';

/** Corners as lat, lon; square metres; tolerance. */
const PLANIMETER: ReadonlyArray<readonly [ReadonlyArray<readonly [number, number]>, number, number]> = [
  [
    [
      [0, -1],
      [-1, 0],
      [0, 1],
      [1, 0],
    ],
    24619419146,
    1,
  ],
  [
    [
      [90, 0],
      [0, 0],
      [0, 90],
    ],
    63758202715511,
    1,
  ],
  [
    [
      [89, 0],
      [89, 90],
      [89, 180],
      [89, 270],
    ],
    24952305678,
    1,
  ],
  [
    [
      [89, 0.1],
      [89, 90.1],
      [89, -179.9],
    ],
    12476152838.5,
    1,
  ],
];

const folder = 'tests/fixtures/sites';
interface Collection {
  features: { properties: { NAME: string }; geometry: { type: string; coordinates: unknown } }[];
}
const fields = (JSON.parse(readFileSync(`${folder}/fields.geojson`, 'utf8')) as Collection).features.map(
  ({ properties, geometry }) => ({
    name: properties.NAME,
    outline: (geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates) as MultiPolygon,
  }),
);
const areas = [...readFileSync(`${folder}/areas.txt`, 'utf8').matchAll(/= (.*)\n.*= ([\d.]+)/g)].map(
  ([, name, m2]) => ({ name, m2: Number(m2) }),
);

describe('the area of an outline', () => {
  it('is that of the published cases, whichever way the ring runs and whether it is closed', () => {
    for (const [corners, area, tolerance] of PLANIMETER) {
      const ring = corners.map(([lat, lon]) => [lon, lat] as const);
      for (const r of [ring, [...ring].reverse(), [...ring, ring[0]]])
        expect(Math.abs(geodesicArea([[r]]) - area)).toBeLessThanOrEqual(tolerance);
    }
  });

  it('is that of another program for fields with holes and in parts', () => {
    expect(areas.map((a) => a.name)).toEqual(fields.map((f) => f.name));
    areas.forEach(({ m2 }, i) =>
      expect(Math.abs(geodesicArea(fields[i].outline) / m2 - 1)).toBeLessThan(1e-6),
    );
  });
});
