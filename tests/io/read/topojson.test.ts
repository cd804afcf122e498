// us-atlas 3.0.1 (npm; outlines of the US Census Bureau, public domain), against what GDAL 3.6.2 reads from it; a file of
// topojson-server 3.0.1 (tests/fixtures/vectors/topojson/make.sh); and small topologies of invented squares.
import type { FeatureCollection, MultiPolygon } from 'geojson';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/io/read/formats.ts';
import { over } from './opened.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const states = new Uint8Array(readFileSync('node_modules/us-atlas/states-10m.json'));
const albers = new Uint8Array(readFileSync('node_modules/us-atlas/states-albers-10m.json'));

const open = (value: unknown, options: ReadOptions = {}, name = 'zones.topojson') =>
  openSource(
    memorySource(name, value instanceof Uint8Array ? value : new TextEncoder().encode(JSON.stringify(value))),
    options,
  );

const { read, said } = over(open);

function areas(opened: Opened) {
  if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
  return opened.content.features;
}

// Two squares that share the border x = 1 (arc 1).
const topology = (own: object = {}) => ({
  type: 'Topology',
  arcs: [
    [[1, 0], [0, 0], [0, 1], [1, 1]],
    [[1, 1], [1, 0]],
    [[1, 1], [2, 1], [2, 0], [1, 0]],
  ],
  objects: {
    zones: {
      type: 'GeometryCollection',
      geometries: [
        { type: 'Polygon', id: 'W', properties: { name: 'West' }, arcs: [[0, 1]] },
        { type: 'Polygon', id: 'E', properties: { id: 'own' }, arcs: [[2, ~1]] },
      ],
    },
    border: { type: 'LineString', arcs: [1] },
    places: { type: 'MultiPoint', coordinates: [[0.5, 0.5], [1.5, 0.5]] },
  },
  ...own,
}); // prettier-ignore

describe('TopoJSON', () => {
  it('of an open atlas: as many outlines, in the same places, as GDAL reads', async () => {
    const opened = await read(states, {}, 'states-10m.json');
    expect(opened).toMatchObject({ format: 'TopoJSON', count: 56, part: 'states', crs: 'EPSG:4326' });
    expect(opened.parts).toEqual([
      { name: 'states', kind: 'polygon', count: 56 },
      { name: 'nation', kind: 'polygon', count: 1 },
    ]);
    // ogrinfo -so states-10m.json states: Extent.
    const extent = [-179.136572, -14.373865, 179.774881, 71.352561];
    opened.extent?.forEach((x, i) => expect(x).toBeCloseTo(extent[i], 5));
    // ogr2ogr -f GeoJSON /vsistdout/ states-10m.json states -where "id = '39'": corners of each ring, and the box.
    const ohio = areas(opened).find((a) => a.attributes['id'] === '39');
    expect(ohio?.attributes).toEqual({ id: '39', name: 'Ohio' });
    expect(ohio?.geometry.map((rings) => rings.map((r) => r.length))).toEqual([[4], [6], [158]]);
    const [x, y] = [0, 1].map((k) => ohio?.geometry.flat(2).map((p) => p[k]) ?? []);
    expect(Math.min(...x)).toBeCloseTo(-84.82069386553866, 12);
    expect(Math.max(...x)).toBeCloseTo(-80.52071966199662, 12);
    expect(Math.min(...y)).toBeCloseTo(38.40504468653686, 12);
    expect(Math.max(...y)).toBeCloseTo(41.97787393972939, 12);
    expect((await read(states, { part: 'nation' }, 'states-10m.json')).count).toBe(1);
  });

  it('as another program makes it, in whole numbers of a grid: in the places that it was made from', async () => {
    const folder = new URL('../../fixtures/vectors/', import.meta.url);
    const bytes = new Uint8Array(readFileSync(new URL('topojson/county.topojson', folder)));
    const opened = await read(bytes, {}, 'county.topojson');
    expect(opened.parts?.map((p) => [p.name, p.kind, p.count])).toEqual([['zones', 'polygon', 3], ['trails', 'line', 2]]); // prettier-ignore
    const { zones } = JSON.parse(readFileSync(new URL('shapefiles/expected.json', folder), 'utf8')) as {
      zones: FeatureCollection<MultiPolygon>;
    };
    for (const [i, want] of zones.features.entries()) {
      const { geometry, attributes } = areas(opened)[i];
      expect(attributes['ZONE']).toBe(want.properties?.['ZONE']);
      expect(geometry.map((p) => p.map((r) => r.length)).sort()).toEqual(want.geometry.coordinates.map((p) => p.map((r) => r.length)).sort()); // prettier-ignore
      // The grid has a thousand million steps: about 0.1 mm here.
      const sorted = (all: readonly (readonly number[])[], k: number) => all.map((p) => p[k]).sort((a, b) => a - b); // prettier-ignore
      for (const k of [0, 1]) {
        const [a, b] = [sorted(geometry.flat(2), k), sorted(want.geometry.coordinates.flat(2), k)];
        // Where a ring begins is another matter: its first corner is there twice.
        expect(Math.abs(a[0] - b[0])).toBeLessThan(1e-7);
        expect(Math.abs(a[a.length - 1] - b[b.length - 1])).toBeLessThan(1e-7);
      }
    }
  });

  it('in units of a drawing: no degrees, and asks for the coordinate system', async () => {
    expect(await open(albers, {}, 'states-albers-10m.json')).toMatchObject({
      ok: false,
      failure: { code: 'crs' },
    });
  });

  it('gives shared borders, numbers of features, lines and points', async () => {
    const zones = await read(topology());
    expect(areas(zones).map((a) => [a.attributes, a.geometry])).toEqual([
      [{ id: 'W', name: 'West' }, [[[[1, 0], [0, 0], [0, 1], [1, 1], [1, 0]]]]],
      [{ id: 'own' }, [[[[1, 1], [2, 1], [2, 0], [1, 0], [1, 1]]]]],
    ]); // prettier-ignore
    expect(zones.parts?.map((p) => [p.name, p.kind, p.count])).toEqual([['zones', 'polygon', 2], ['border', 'line', 1], ['places', 'point', 1]]); // prettier-ignore
    expect((await read(topology(), { part: 'border' })).content).toMatchObject({ kind: 'line', features: [{ lines: [[[1, 1], [1, 0]]] }] }); // prettier-ignore
    expect((await read(topology(), { part: 'places' })).count).toBe(2);
    expect(await said(topology(), { part: 'rivers' })).toMatch(/holds no "rivers"\. Choose one of: zones, border, places/); // prettier-ignore
  });

  it('is known by its content, wherever it says what it is', async () => {
    const { type, ...rest } = topology();
    const last = { padding: 'x'.repeat(1000), ...rest, type };
    expect((await read(last, {}, 'zones.json')).format).toBe('TopoJSON');
  });
});

describe('TopoJSON that is not sound', () => {
  const zones = (geometry: unknown) => topology({ objects: { zones: geometry } });
  it.each([
    ['an arc that is not there', zones({ type: 'Polygon', arcs: [[0, 7]] }), /uses an arc that is not there \(7\), in "zones"/],
    ['an arc that is a text', zones({ type: 'LineString', arcs: ['0'] }), /arc that is not there/],
    ['arcs that are none', zones({ type: 'LineString' }), /no list of arcs/],
    ['arcs that are no positions', topology({ arcs: [[[0, 'x']], 5] }), /arc 0 is not a list of positions/],
    ['no arcs', topology({ arcs: null }), /has no list of arcs/],
    ['a transform that is none', topology({ transform: { scale: 'a', translate: [0, 0] } }), /transform/],
    ['objects that are none', topology({ objects: 5 }), /has no objects/],
    ['no objects', topology({ objects: {} }), /holds no features/],
    ['a point without a position', zones({ type: 'Point' }), /a point has no position/],
    ['a shape that is none', zones({ type: 'GeometryCollection', geometries: [null] }), /a shape is none/],
    ['only shapes of no known type', zones({ type: 'constructor', arcs: [0] }), /no points, lines or polygons/],
  ])('with %s: one sentence', async (_, value, what) => {
    expect(await said(value)).toMatch(what);
  }); // prettier-ignore

  it('whose arcs unfold to more than fits: refused before it is unfolded', async () => {
    const arc = Array.from({ length: 10_000 }, (_, i) => [i / 1e4, 0]);
    const geometries = Array.from({ length: 6000 }, () => ({ type: 'LineString', arcs: [0] }));
    const value = topology({ arcs: [arc], objects: { zones: { type: 'GeometryCollection', geometries } } });
    expect(await said(value)).toMatch(/unfold to more positions than fit/);
  });
});
