/**
 * Neighbouring states of the contiguous United States against the published graph: 49 vertices (48 states and the District
 * of Columbia), 107 edges (Knuth, The Art of Computer Programming vol. 4A, section 7.1.4; two regions are joined where one
 * can drive from one to the other without entering a third, so the pairs that meet at Four Corners are not joined; numbers
 * from memory). Shapes: npm us-atlas (ISC), from the US Census Bureau's cartographic boundary files.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { feature } from 'topojson-client';
import type { GeometryCollection, Topology } from 'topojson-specification';
import { expect, test } from 'vitest';
import type { MultiPolygon } from '../../src/domain/base/geo.ts';
import { adjacency } from '../../src/domain/layers/adjacency.ts';
import { zoneIndex, type Zone } from '../../src/domain/layers/zones.ts';

const file = createRequire(import.meta.url).resolve('us-atlas/states-10m.json');
const topology = JSON.parse(readFileSync(file, 'utf8')) as Topology<{
  states: GeometryCollection<{ name: string }>;
}>;
const AWAY = ['Alaska', 'Hawaii', 'Puerto Rico', 'Guam', 'American Samoa', 'United States Virgin Islands'];
const zones: Zone[] = feature(topology, topology.objects.states)
  .features.filter((f) => !AWAY.includes(f.properties.name) && !f.properties.name.startsWith('Commonwealth'))
  .map((f) => {
    const g = f.geometry;
    const geometry = (g.type === 'Polygon'
      ? [g.coordinates]
      : g.type === 'MultiPolygon'
        ? g.coordinates
        : []) as unknown as MultiPolygon;
    return { key: f.properties.name, name: f.properties.name, area: { geometry, attributes: {} } };
  });
const named = (contact: string, snap: number): string[] =>
  adjacency(zones, snap)
    .pairs.filter((p) => p.contact === contact)
    .map((p) => [zones[p.a].name, zones[p.b].name].sort().join(' - '))
    .sort();

test.each([0, 30])('49 regions, 107 common edges, two pairs at Four Corners (snap %d m)', (snap) => {
  expect(zones).toHaveLength(49);
  expect(named('corner', snap)).toEqual(['Arizona - Colorado', 'New Mexico - Utah']);
  expect(named('edge', snap)).toHaveLength(107);
});

test.each([
  ['Kentucky', -84.5, 38.04],
  ['Tennessee', -86.78, 36.16],
  ['Ohio', -83.0, 39.96],
  ['District of Columbia', -77.04, 38.9],
])('a city of %s lies in it', (name, lon, lat) => {
  expect(zones[zoneIndex(zones).zoneOf(lon, lat)].name).toBe(name);
});

/** Nine invented zones; pairs and geodesic lengths of the common lines by SpatiaLite (tests/fixtures/zones/make.sh). */
test.each([0, 30])('the pairs of SpatiaLite, and its lengths within 0.01 %% (snap %d m)', (snap) => {
  const folder = new URL('../fixtures/zones/', import.meta.url);
  const tiles = JSON.parse(readFileSync(new URL('tiles.geojson', folder), 'utf8')) as {
    features: Array<{ properties: { zone: string }; geometry: { coordinates: MultiPolygon[number] } }>;
  };
  const own: Zone[] = tiles.features.map(({ properties: { zone }, geometry }) => ({
    key: zone,
    name: zone,
    area: { geometry: [geometry.coordinates], attributes: {} },
  }));
  const expected = readFileSync(new URL('tiles-touching.csv', folder), 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((l) => l.replaceAll('"', '').split(','));
  const { pairs } = adjacency(own, snap);
  expect(pairs.map((p) => [own[p.a].key, own[p.b].key])).toEqual(expected.map(([a, b]) => [a, b]));
  pairs.forEach((p, i) => {
    const metres = Number(expected[i][2]);
    expect(p.contact).toBe(metres > 0 ? 'edge' : 'corner');
    // At a snap of 30 m neighbours of a corner run beside one another for some metres more.
    const allowed = 1e-4 * metres + (snap > 0 ? 2 * snap : 0);
    expect(Math.abs(p.sharedMetres - metres)).toBeLessThanOrEqual(allowed);
  });
});
