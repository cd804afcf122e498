import { describe, expect, it } from 'vitest';
import { geojson, type GeoFeature } from '../../../src/io/write/geojson.ts';

interface Read {
  type: string;
  crs?: unknown;
  features: Array<{
    type: string;
    id?: unknown;
    geometry: { type: string; coordinates: unknown } | null;
    properties: Record<string, unknown>;
  }>;
}
const write = (...features: GeoFeature[]): Read => JSON.parse(geojson(features)) as Read;
const square = [
  [0, 0],
  [0, 4],
  [4, 4],
  [4, 0],
  [0, 0],
] as const;
const small = [
  [1, 1],
  [2, 1],
  [2, 2],
  [1, 2],
  [1, 1],
] as const;

// RFC 7946, sections 3.1.6 (rings), 3.2 (feature), 4 (no crs), 11.2 (decimals).
describe('GeoJSON', () => {
  it('is a FeatureCollection with lon, lat of at most seven decimals and no crs', () => {
    const read = write({
      id: 'a',
      geometry: { kind: 'place', place: { lon: -82.123456789, lat: 39 } },
      properties: { x: 1 },
    });
    expect(read.type).toBe('FeatureCollection');
    expect(read).not.toHaveProperty('crs');
    expect(read.features[0]).toEqual({
      type: 'Feature',
      id: 'a',
      geometry: { type: 'Point', coordinates: [-82.1234568, 39] },
      properties: { x: 1 },
    });
  });

  it('turns outer rings counterclockwise and holes clockwise, and closes them', () => {
    // Both rings are given the wrong way round: the square clockwise, the hole counterclockwise; the hole is left open.
    const read = write({ geometry: { kind: 'area', area: [[square, small.slice(0, -1)]] }, properties: {} });
    expect(read.features[0].geometry).toEqual({
      type: 'Polygon',
      coordinates: [
        [
          [0, 0],
          [4, 0],
          [4, 4],
          [0, 4],
          [0, 0],
        ],
        [
          [1, 1],
          [1, 2],
          [2, 2],
          [2, 1],
          [1, 1],
        ],
      ],
    });
  });

  it('leaves rings alone that are right already, and keeps several polygons together', () => {
    const right = [...square].reverse();
    const read = write({ geometry: { kind: 'area', area: [[right], [small]] }, properties: {} });
    expect(read.features[0].geometry).toEqual({ type: 'MultiPolygon', coordinates: [[right], [small]] });
  });

  it('tells the direction of a ring a metre wide at 82 degrees west', () => {
    const d = 1e-5;
    const ring = [
      [-82, 39],
      [-82, 39 + d],
      [-82 + d, 39 + d],
      [-82 + d, 39],
      [-82, 39],
    ] as const;
    const read = write({ geometry: { kind: 'area', area: [[ring]] }, properties: {} });
    const [[, second]] = read.features[0].geometry?.coordinates as number[][][];
    expect(second).toEqual([-81.99999, 39]);
  });

  it('writes null for what is not known: a number, and a place', () => {
    const read = write({
      geometry: { kind: 'place', place: { lon: NaN, lat: 39 } },
      properties: { x: NaN, y: Infinity, z: null },
    });
    expect(read.features[0].geometry).toBeNull();
    expect(read.features[0].properties).toEqual({ x: null, y: null, z: null });
  });

  it('writes a line', () => {
    const line = [
      [-82, 39],
      [-82.1, 39.1],
    ] as const;
    expect(write({ geometry: { kind: 'line', line }, properties: {} }).features[0].geometry).toEqual({
      type: 'LineString',
      coordinates: line,
    });
  });
});
