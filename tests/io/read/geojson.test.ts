import { describe, expect, it } from 'vitest';
import type { Failure } from '../../../src/domain/base/result.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const textOf = (value: unknown): string => (typeof value === 'string' ? value : JSON.stringify(value));

async function read(value: unknown, options: ReadOptions = {}, name = 'zones.geojson'): Promise<Opened> {
  const opened = await openSource(memorySource(name, new TextEncoder().encode(textOf(value))), options);
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

async function failureOf(value: unknown, options: ReadOptions = {}): Promise<Failure> {
  const opened = await openSource(
    memorySource('zones.geojson', new TextEncoder().encode(textOf(value))),
    options,
  );
  if (opened.ok) throw new Error('a failure was expected');
  for (const text of Object.values(opened.failure)) expect(text).not.toBe('');
  return opened.failure;
}

const feature = (geometry: unknown, properties: unknown = {}) => ({ type: 'Feature', properties, geometry });
const collection = (...features: unknown[]) => ({ type: 'FeatureCollection', features });
const square = [[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]]; // prettier-ignore
const polygon = (...rings: unknown[]) => ({ type: 'Polygon', coordinates: rings });
const point = (...coordinates: unknown[]) => ({ type: 'Point', coordinates });
const notesOf = (opened: Opened): string[] => opened.notes.map((n) => n.what);

function areas(opened: Opened) {
  if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
  return opened.content.features;
}

describe('GeoJSON', () => {
  // RFC 7946, section 1.5: the example, its three kinds of geometry in files of their own.
  it('gives points, lines and polygons with their attributes', async () => {
    const points = await read(collection(feature(point(102, 0.5), { prop0: 'value0' })));
    expect(points).toMatchObject({
      format: 'GeoJSON',
      crs: 'EPSG:4326',
      count: 1,
      extent: [102, 0.5, 102, 0.5],
      notes: [],
      content: { kind: 'point', features: [{ lon: 102, lat: 0.5, attributes: { prop0: 'value0' } }] },
    });
    const coordinates = [[102, 0], [103, 1], [104, 0], [105, 1]]; // prettier-ignore
    const line = await read(collection(feature({ type: 'LineString', coordinates }, { prop1: 0 })));
    expect(line).toMatchObject({
      extent: [102, 0, 105, 1],
      content: { kind: 'line', features: [{ lines: [coordinates], attributes: { prop1: 0 } }] },
    });
    const ring = [[100, 0], [101, 0], [101, 1], [100, 1], [100, 0]]; // prettier-ignore
    const area = await read(collection(feature(polygon(ring), { prop1: { this: 'that' } })));
    // An attribute that is an object is kept as its text.
    expect(area).toMatchObject({
      extent: [100, 0, 101, 1],
      content: {
        kind: 'polygon',
        features: [{ geometry: [[ring]], attributes: { prop1: '{"this":"that"}' } }],
      },
    });
  });

  it('gives several parts of one feature, and holes', async () => {
    const hole = [[0.2, 0.2], [0.2, 0.4], [0.4, 0.4], [0.2, 0.2]]; // prettier-ignore
    const opened = await read(
      collection(feature({ type: 'MultiPolygon', coordinates: [[square, hole], [square]] })),
    );
    expect(areas(opened)[0].geometry).toEqual([[square, hole], [square]]);
    const lines = { type: 'MultiLineString', coordinates: [square, square] };
    expect((await read(collection(feature(lines)))).content).toMatchObject({
      kind: 'line',
      features: [{ lines: [square, square] }],
    });
    // Points of one feature are places of their own, with the same attributes.
    const points = { type: 'MultiPoint', coordinates: [[1, 2], [3, 4]] }; // prettier-ignore
    expect(await read(collection(feature(points, { id: 7 })))).toMatchObject({
      count: 2,
      content: {
        features: [
          { lon: 1, lat: 2, attributes: { id: 7 } },
          { lon: 3, lat: 4, attributes: { id: 7 } },
        ],
      },
    });
  });

  it('may be one feature or one geometry', async () => {
    expect((await read(feature(point(1, 2), null))).count).toBe(1);
    expect((await read(point(1, 2), {}, 'place.json')).count).toBe(1);
  });

  it('keeps texts, numbers, truths and nothing in attributes as they are', async () => {
    const properties = { a: '007', b: 1.5, c: true, d: null, e: [1, 2] };
    const opened = await read(collection(feature(point(1, 2), properties)));
    expect(opened.content).toMatchObject({ features: [{ attributes: { ...properties, e: '[1,2]' } }] });
  });
});

describe('the coordinate system of GeoJSON', () => {
  const crs = (name: string) => ({ type: 'name', properties: { name } });
  // gdaltransform -s_srs EPSG:5070 -t_srs EPSG:4326 (GDAL 3.6.2 / PROJ 9.1) of 1100000 1900000.
  const PLACE = [1100000, 1900000];
  const DEGREES = [-83.0605870805107, 39.4469043167037];

  it('is that of a "crs" member, as in the draft of 2008', async () => {
    for (const name of ['urn:ogc:def:crs:EPSG::5070', 'EPSG:5070']) {
      const opened = await read({ ...collection(feature(point(...PLACE))), crs: crs(name) });
      expect(opened.crs).toBe('EPSG:5070');
      expect(opened.extent?.[0]).toBeCloseTo(DEGREES[0], 9);
      expect(opened.extent?.[1]).toBeCloseTo(DEGREES[1], 9);
    }
  });

  it('is degrees of WGS 84 where the member says so, is null, or is missing', async () => {
    for (const member of [
      { crs: crs('urn:ogc:def:crs:OGC:1.3:CRS84') },
      { crs: crs('EPSG:4326') },
      { crs: null },
      {},
    ]) {
      const opened = await read({ ...collection(feature(point(-83, 39))), ...member });
      expect(opened.crs).toBe('EPSG:4326');
      expect(opened.extent).toEqual([-83, 39, -83, 39]);
    }
  });

  it('is the one that is given instead, where one is', async () => {
    const opened = await read(collection(feature(point(...PLACE))), { crs: 'EPSG:5070' });
    expect(opened.crs).toBe('EPSG:5070');
    expect(opened.extent?.[0]).toBeCloseTo(DEGREES[0], 9);
  });

  it('is a Failure where it is missing and the numbers are no degrees', async () => {
    const failure = await failureOf(collection(feature(point(...PLACE))));
    expect(failure).toMatchObject({ code: 'crs', where: 'zones.geojson' });
    expect(failure.what).toMatch(/does not say its coordinate system.*1100000/);
  });

  it('is a Failure where it is not known', async () => {
    const failure = await failureOf({ ...collection(feature(point(1, 2))), crs: crs('EPSG:999999') });
    expect(failure).toMatchObject({ code: 'crs', where: 'zones.geojson' });
    expect(failure.what).toMatch(/999999/);
  });
});

describe('GeoJSON that is not as it should be', () => {
  it('with mixed kinds: most of them are kept, the others left out with a note', async () => {
    const opened = await read(
      collection(
        feature(polygon(square)),
        feature(point(0.5, 0.5)),
        feature(polygon(square)),
        feature(null),
        feature({ type: 'GeometryCollection', geometries: [point(1, 1)] }),
        feature({ type: 'Circle', coordinates: [0, 0] }),
      ),
    );
    expect(opened.content.kind).toBe('polygon');
    expect(opened.count).toBe(2);
    expect(notesOf(opened)).toEqual([
      'no geometry: left out (1 feature)',
      'geometry of the type GeometryCollection is not read (1 feature)',
      'geometry of the type Circle is not read (1 feature)',
      'points among polygons were left out (1 feature)',
    ]);
  });

  it('with an open ring: closed, with a note', async () => {
    const opened = await read(collection(feature(polygon(square.slice(0, 4)))));
    expect(areas(opened)[0].geometry).toEqual([[square]]);
    expect(notesOf(opened)).toEqual(['an open ring was closed (1 feature)']);
  });

  it('with outlines or holes of two corners: left out, with a note', async () => {
    const thin = [[0, 0], [1, 1], [0, 0]]; // prettier-ignore
    const opened = await read(collection(feature(polygon(square, thin)), feature(polygon(thin))));
    expect(areas(opened).map((a) => a.geometry)).toEqual([[[square]]]);
    expect(notesOf(opened)).toEqual([
      'a hole with fewer than three corners: left out (1 feature)',
      'an outline with fewer than three corners: left out (1 feature)',
    ]);
  });

  it('with a line of one position, or heights: noted', async () => {
    const opened = await read(
      collection(
        feature({ type: 'LineString', coordinates: [[0, 0]] }),
        feature({ type: 'LineString', coordinates: [[0, 0, 300], [1, 1, 310]] }), // prettier-ignore
      ),
    );
    expect(opened.content).toMatchObject({ features: [{ lines: [[[0, 0], [1, 1]]] }] }); // prettier-ignore
    expect(notesOf(opened)).toEqual([
      'heights were dropped (1 feature)',
      'a line with fewer than two positions: left out (1 feature)',
    ]);
  });

  it('with positions that are no numbers: left out, never without a note', async () => {
    const bad = [[0, 0], [1, 0], [null, 5], [1, 1], ['2', 3], [0, 1], [0, 0]]; // prettier-ignore
    const inRing = await read(collection(feature(polygon(bad))));
    expect(areas(inRing)[0].geometry).toEqual([[square]]);
    expect(notesOf(inRing)).toEqual(['a position that is not two numbers: left out (1 feature)']);
    const points = await read(
      collection(feature(point(1, 2)), feature(point(null, 2)), feature(point()), feature(point('1', '2'))),
    );
    expect(points.count).toBe(1);
    expect(notesOf(points)).toEqual(['a position that is not two numbers: left out (3 features)']);
  });

  it.each([
    ['broken JSON', '{"type":"FeatureCollection","features":[', 'format', /not valid JSON/],
    ['NaN, which JSON has not', '{"type":"Point","coordinates":[NaN,39]}', 'format', /not valid JSON/],
    ['JSON of another kind', { type: 'Style', layers: [] }, 'format', /not GeoJSON/],
    ['a list', '[1,2]', 'format', /not what its name says/],
    ['features that are no list', { type: 'FeatureCollection', features: 5 }, 'format', /not GeoJSON/],
    ['no features', collection(), 'content', /holds no features/],
    ['features that are none', collection(5, null, 'x', []), 'content', /no points, lines or polygons/],
    ['no geometry in any', collection(feature(null)), 'content', /no points, lines or polygons/],
    [
      'types that a program has of its own',
      collection(feature({ type: 'constructor', coordinates: [square] }), feature({ type: '__proto__' })),
      'content',
      /no points, lines or polygons/,
    ],
    [
      'types that are no text',
      collection(feature({ type: 5 }), feature({ type: {} })),
      'content',
      /no points/,
    ],
    ['no position that can be used', collection(feature(point(null, null))), 'content', /usable position/],
    [
      'coordinates that are no list',
      collection(feature({ type: 'Polygon', coordinates: 5 })),
      'content',
      /usable/,
    ],
    [
      'coordinates of text',
      collection(feature({ type: 'MultiPoint', coordinates: 'ab' })),
      'content',
      /usable/,
    ],
    ['rings that are no lists', collection(feature(polygon(1, 2))), 'content', /usable/],
    ['no coordinates', collection(feature({ type: 'LineString' })), 'content', /usable/],
    [
      'places beyond the poles',
      collection(feature(point(39, -182))),
      'crs',
      /does not say its coordinate system/,
    ],
    ['numbers beyond all bounds', '{"type":"Point","coordinates":[1e999,39]}', 'content', /usable position/],
  ])('with %s: one Failure', async (_, value, code, what) => {
    const failure = await failureOf(value);
    expect(failure).toMatchObject({ code, where: 'zones.geojson' });
    expect(failure.what).toMatch(what);
  });

  it('with attributes that are no object: none', async () => {
    const opened = await read(collection(feature(point(1, 2), 'text'), feature(point(1, 2), 5)));
    expect(opened.content).toMatchObject({ features: [{ attributes: {} }, { attributes: {} }] });
  });
});
