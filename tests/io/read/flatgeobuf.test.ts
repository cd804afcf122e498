// Files written by GDAL 3.6.2 (tests/fixtures/flatgeobuf/make.sh), with what GDAL reads from them in degrees
// (expected.json beside it), and files written by the flatgeobuf library.
import type { Feature, FeatureCollection, MultiLineString, Point } from 'geojson';
import { readFileSync } from 'node:fs';
import { serialize } from 'flatgeobuf/lib/mjs/geojson.js';
import { describe, expect, it } from 'vitest';
import { sentence, type Failure } from '../../../src/domain/base/result.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const folder = new URL('../../fixtures/flatgeobuf/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as {
  points: FeatureCollection<Point>;
  lines: FeatureCollection<MultiLineString>;
};

const open = (name: string, bytes = bytesOf(name), options: ReadOptions = {}) =>
  openSource(memorySource(name, bytes), options);

async function read(...args: Parameters<typeof open>): Promise<Opened> {
  const opened = await open(...args);
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

async function failureOf(...args: Parameters<typeof open>): Promise<Failure> {
  const opened = await open(...args);
  if (opened.ok) throw new Error('a failure was expected');
  for (const text of Object.values(opened.failure)) expect(text).not.toBe('');
  return opened.failure;
}

/** About 0.1 mm. */
const DEGREES = 1e-9;

describe('FlatGeobuf', () => {
  it.each(['points-utm.fgb', 'points-no-index.fgb'])(
    '%s: places and attributes as GDAL reads them',
    async (file) => {
      const opened = await read(file);
      expect(opened).toMatchObject({ format: 'FlatGeobuf', crs: 'EPSG:26917', count: 3, notes: [] });
      if (opened.content.kind !== 'point') throw new Error('points were expected');
      // The index puts the features in another order.
      const spots = [...opened.content.features].sort((a, b) =>
        String(a.attributes['id']).localeCompare(String(b.attributes['id'])),
      );
      for (const [i, want] of expected.points.features.entries()) {
        const { lon, lat, attributes } = spots[i];
        const [wantLon, wantLat] = want.geometry.coordinates;
        expect(Math.abs(lon - wantLon)).toBeLessThan(DEGREES);
        expect(Math.abs(lat - wantLat)).toBeLessThan(DEGREES);
        // A value that is missing is left out of the file, or nothing in GeoJSON.
        for (const [key, value] of Object.entries(want.properties ?? {})) {
          const text = typeof value === 'string' && key === 'seen' ? `${value}T00:00:00` : (value as unknown);
          expect(attributes[key] ?? null, `${i} ${key}`).toEqual(text);
        }
      }
    },
  );

  it('lines in a projection of their own, told by WKT', async () => {
    const opened = await read('lines-own-projection.fgb');
    expect(opened.count).toBe(2);
    if (opened.content.kind !== 'line') throw new Error('lines were expected');
    const tracks = [...opened.content.features].sort(
      (a, b) => Number(a.attributes['class']) - Number(b.attributes['class']),
    );
    for (const [i, want] of expected.lines.features.entries()) {
      expect(tracks[i].lines.map((l) => l.length)).toEqual(want.geometry.coordinates.map((l) => l.length));
      for (const [l, line] of want.geometry.coordinates.entries())
        for (const [p, [lon, lat]] of line.entries()) {
          expect(Math.abs(tracks[i].lines[l][p][0] - lon)).toBeLessThan(DEGREES);
          expect(Math.abs(tracks[i].lines[l][p][1] - lat)).toBeLessThan(DEGREES);
        }
    }
  });

  it('mixed geometries with heights: polygons kept, holes kept, the rest noted', async () => {
    const opened = await read('areas-mixed-heights.fgb');
    if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
    const rings = Object.fromEntries(
      opened.content.features.map((a) => [
        String(a.attributes['zone']),
        a.geometry.map((p) => p.map((r) => r.length)),
      ]),
    );
    expect(rings).toEqual({ A: [[5, 4]], B: [[4], [4]] });
    expect(opened.extent).toEqual([-84, 39, -79, 40]);
    expect(opened.notes.map((n) => n.what)).toEqual(
      expect.arrayContaining([
        'points among polygons were left out (1 feature)',
        'heights were dropped (2 features)',
      ]),
    );
  });

  it('without a coordinate system: degrees are assumed, with a note; another can be given', async () => {
    const opened = await read('areas-no-crs.fgb');
    expect(opened.crs).toBe('EPSG:4326');
    expect(opened.notes[0].what).toMatch(/does not say its coordinate system/);
    expect((await failureOf('areas-no-crs.fgb', undefined, { crs: 'nonsense' })).code).toBe('crs');
    expect((await read('areas-no-crs.fgb', undefined, { crs: 'EPSG:4269' })).crs).toBe('EPSG:4269');
  });

  it('on the datum NAD27: shifted, with a note', async () => {
    const { notes } = await read('points-nad27.fgb');
    expect(notes.map((n) => n.what).join()).toMatch(/NAD27: shifted to WGS 84.*good to about 13 m/);
  });

  it('without features: a Failure', async () => {
    expect(await failureOf('empty.fgb')).toMatchObject({ code: 'content', what: 'holds no features' });
  });

  it.each([
    ['refused-curvepolygon.fgb', /curved lines \(CurvePolygon in feature 1\).*straight/],
    ['refused-circularstring.fgb', /curved lines \(CircularString in feature/],
    ['refused-multisurface.fgb', /curved lines \(MultiSurface/],
    ['refused-tin.fgb', /surfaces in space \(TIN.*footprints/],
  ])('%s: refused with a sentence, whole and by area', async (file, what) => {
    for (const options of [{}, { within: [-90, 30, -70, 50] as const }])
      expect(sentence(await failureOf(file, undefined, options))).toMatch(what);
  });

  it('measures, and types of geometry in one file: noted', async () => {
    for (const options of [{}, { within: [-90, 30, -70, 50] as const }]) {
      const lines = await read('lines-measures.fgb', undefined, options);
      expect(lines.content).toMatchObject({ features: [{ lines: [[[-83, 39], [-82, 39]]] }] }); // prettier-ignore
      expect(lines.notes.map((n) => n.what)).toEqual(['measures along the shapes (M) were dropped']);
    }
    const several = await read('several-types.fgb');
    expect(several.content.kind === 'point' && several.content.features.length).toBe(3);
    expect(several.notes.map((n) => n.what)).toEqual([
      'geometry of the type GeometryCollection is not read (1 feature)',
    ]);
  });

  it('as the library writes it: every value comes back', async () => {
    const ring = [[-83, 39], [-82, 39], [-82, 40], [-83, 40], [-83, 39]]; // prettier-ignore
    const features: Feature[] = Array.from({ length: 300 }, (_, i) => ({
      type: 'Feature',
      properties: { zone: `Z${i}`, n: i, share: i / 7, open: i % 2 === 0 },
      geometry: { type: 'Polygon', coordinates: [ring.map(([x, y]) => [x + i / 100, y - i / 200])] },
    }));
    const opened = await read('made.fgb', serialize({ type: 'FeatureCollection', features }));
    expect(opened.count).toBe(300);
    if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
    const byZone = new Map(opened.content.features.map((a) => [a.attributes['zone'], a]));
    for (const { properties, geometry } of features) {
      const area = byZone.get(String(properties?.['zone']));
      expect(area?.attributes).toEqual(properties);
      expect(area?.geometry).toEqual([geometry.type === 'Polygon' ? geometry.coordinates : null]);
    }
  });
});
