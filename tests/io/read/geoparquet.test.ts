// Parquet files written by DuckDB 1.5.6 (tests/fixtures/vectors/geoparquet/make.mjs); places checked against the shapefiles
// that they were made from, as GDAL reads those.
import type { FeatureCollection, MultiPolygon } from 'geojson';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { sentence } from '../../../src/domain/base/result.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { over } from './opened.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import type { Source } from '../../../src/io/source.ts';

const folder = new URL('../../fixtures/vectors/', import.meta.url);
const bytesOf = (file: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`geoparquet/${file}`, folder)));
const expected = JSON.parse(readFileSync(new URL('shapefiles/expected.json', folder), 'utf8')) as {
  zones: FeatureCollection<MultiPolygon>;
};

const open = (file: string, options: ReadOptions = {}, bytes = bytesOf(file)) =>
  openSource(memorySource(file, bytes), options);

const { read, said } = over(open);

const notesOf = (opened: Opened): string[] => opened.notes.map((n) => n.what);
const numbers = (value: unknown): number[] =>
  Array.isArray(value) ? value.flatMap(numbers) : [value as number];

function expectNear(got: unknown, want: unknown): void {
  const [a, b] = [numbers(got), numbers(want)];
  expect(a.length).toBe(b.length);
  // About 0.1 mm.
  for (let i = 0; i < a.length; i++) expect(Math.abs(a[i] - b[i])).toBeLessThan(1e-9);
}

describe('GeoParquet', () => {
  it.each(['zones-1.parquet', 'zones-2.parquet', 'zones-native.parquet'])(
    '%s: areas with holes in their places, by whatever way the file says that they are areas',
    async (file) => {
      const opened = await read(file);
      expect(opened).toMatchObject({ format: 'GeoParquet', crs: 'EPSG:5070', count: 3, notes: [] });
      if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
      const areas = [...opened.content.features].sort((a, b) => Number(a.attributes['row']) - Number(b.attributes['row'])); // prettier-ignore
      for (const [i, want] of expected.zones.features.entries()) {
        expect(areas[i].attributes).toEqual({ row: i, ZONE: want.properties?.['ZONE'] as unknown });
        expectNear(areas[i].geometry, want.geometry.coordinates);
      }
    },
  );

  it('keeps attributes of every type; heights and rows without a place are noted', async () => {
    const opened = await read('spots.parquet');
    if (opened.content.kind !== 'point') throw new Error('points were expected');
    const [first, second] = opened.content.features;
    expect([first.lon, first.lat, second.lon, second.lat]).toEqual([-83, 39, -82.5, 39.25]);
    expect(Object.entries(first.attributes)).toEqual(
      Object.entries({
        tag: '007',
        name: 'Chêne à gros fruits',
        dbh: 41.5,
        big: '9007199254740993',
        few: 12,
        alive: true,
        seen: '2026-09-30',
        at: '2026-09-30T14:05:00',
        height: 12.25,
        marks: '["a","b"]',
        more: '{"x":1,"y":"z"}',
        picture: null,
        ['__proto__']: 'kept',
      }),
    );
    expect(second.attributes['name']).toBe('<script>alert(1)</script>');
    expect(notesOf(opened).sort()).toEqual([
      'attributes that are pictures or other binary values were left empty',
      'heights were dropped (2 features)',
      'no geometry: left out (1 feature)',
    ]);
  });

  it('without geometries: a table', async () => {
    const opened = await read('table.parquet');
    if (opened.content.kind !== 'table') throw new Error('a table was expected');
    expect(opened).toMatchObject({ format: 'Parquet', crs: null, extent: null, count: 3 });
    expect(opened.content.table.columns).toEqual(['id', 'lon', 'lat']);
    expect(rowsOf(opened.content.table)[1]).toEqual(['K1', '-82.99', '39.01']);
  });

  it('with positions kept as lists: points, areas with a hole, areas of two parts', async () => {
    const point = await read('lists-point.parquet');
    expect(point.content).toMatchObject({ kind: 'point', features: [{ lon: -83, lat: 39 }] });
    expect(notesOf(point)).toEqual(['heights were dropped (1 feature)']);
    const shape = async (file: string) => {
      const { content } = await read(file);
      return content.kind === 'polygon' ? content.features.map((f) => f.geometry) : null;
    };
    expect(await shape('lists-polygon.parquet')).toEqual([
      [[[[-84, 39], [-83, 39], [-83, 40], [-84, 39]], [[-83.2, 39.2], [-83.2, 39.4], [-83.3, 39.3], [-83.2, 39.2]]]],
    ]); // prettier-ignore
    expect(await shape('lists-multipolygon.parquet')).toEqual([
      [[[[-84, 39], [-83, 39], [-83, 40], [-84, 39]]], [[[-80, 39], [-79, 39], [-79, 40], [-80, 39]]]],
    ]); // prettier-ignore
  });

  it('with curves: refused with a sentence', async () => {
    expect(await said('curved.parquet')).toMatch(/holds curved lines \(CircularString in feature 1\)/);
  });
});

describe('the coordinate system of GeoParquet', () => {
  const lines = (opened: Opened) => (opened.content.kind === 'line' ? opened.content.features : []);
  it('is degrees of WGS 84 where none is stated', async () => {
    const opened = await read('trails-0.4.parquet');
    expect(opened.crs).toBe('EPSG:4326');
    expect(lines(opened)[1].lines).toEqual([[[-83, 39.5], [-82.9, 39.6]]]); // prettier-ignore
  });

  it('is asked for where it is stated to be unknown', async () => {
    expect(await open('no-crs.parquet')).toMatchObject({
      ok: false,
      failure: { code: 'crs', coordinates: [-83, 39, -82.4, 39.6] },
    });
    expect((await read('no-crs.parquet', { crs: 'EPSG:4269' })).crs).toBe('EPSG:4269');
  });

  it('is that of a WKT, as before version 0.4', async () => {
    expect((await read('wkt.parquet')).crs).toBe('EPSG:4269');
  });

  it('is one of its own, by its PROJJSON', async () => {
    // cs2cs (PROJ 9.1) of 0 0 and 1000 2000 from the definition in make.mjs to EPSG:4269.
    const [{ lines: line }] = lines(await read('own-crs.parquet'));
    expectNear(line, [
      [
        [-84, 39],
        [-83.988437472704, 39.017990325761],
      ],
    ]);
  });
});

describe('GeoParquet by area', () => {
  const counted = () => {
    const bytes = bytesOf('boxes.parquet');
    const memory = memorySource('boxes.parquet', bytes);
    let total = 0;
    const source: Source = {
      ...memory,
      read: (offset, length) => {
        total += length;
        return memory.read(offset, length);
      },
      readAll: () => Promise.reject(new Error('read whole')),
    };
    return { source, read: () => total, bytes: bytes.length };
  };
  const ids = async (options: ReadOptions, source: Source) => {
    const opened = await openSource(source, options);
    if (!opened.ok) throw new Error(sentence(opened.failure));
    if (opened.value.content.kind !== 'point') throw new Error('points were expected');
    return opened.value.content.features;
  };

  it('gives the rows whose box touches it, and reads only the groups that have some', async () => {
    const all = await ids({}, counted().source);
    expect(all.length).toBe(6144);
    expect(Object.keys(all[0].attributes)).toEqual(['id']);
    const within = [-83.02, 38.25, -82.97, 38.5] as const;
    const { source, read: took, bytes } = counted();
    const some = await ids({ within }, source);
    const inside = all.filter((s) => s.lon >= within[0] && s.lon <= within[2] && s.lat >= within[1] && s.lat <= within[3]); // prettier-ignore
    expect(inside.length).toBe(17);
    expect(some).toEqual(inside);
    expect(took()).toBeLessThan(bytes * 0.6);
  });

  it('by a column "bbox" of which the metadata say nothing', async () => {
    const within = [-83.02, 38.25, -82.97, 38.5] as const;
    const plain = new TextDecoder('latin1')
      .decode(bytesOf('boxes.parquet'))
      .replace('"covering"', '"whatever"');
    const bytes = Uint8Array.from(plain, (c) => c.charCodeAt(0));
    const some = await ids({ within }, memorySource('boxes.parquet', bytes));
    expect(some).toEqual(await ids({ within }, counted().source));
    expect(some.length).toBe(17);
  });

  it('with nothing in it: a sentence', async () => {
    expect(await said('boxes.parquet', { within: [10, 50, 11, 51] })).toMatch(/has nothing in this area/);
  });
});

describe('a Parquet file that is not as it should be', () => {
  it.each([6, 40, 700, 3000])('cut short to %i bytes: one sentence', async (length) => {
    expect(await said('zones-1.parquet', {}, bytesOf('zones-1.parquet').slice(0, length))).toMatch(
      /cut short/,
    );
  });

  it('locked: says so', async () => {
    const bytes = bytesOf('table.parquet');
    bytes[3] = bytes[bytes.length - 1] = 0x45;
    expect(await said('table.parquet', {}, bytes)).toMatch(/is locked \(its footer is encrypted\)/);
  });

  it('that says its footer is longer than the file', async () => {
    const bytes = bytesOf('table.parquet');
    new DataView(bytes.buffer).setUint32(bytes.length - 8, 0x7fffffff, true);
    expect(await said('table.parquet', {}, bytes)).toMatch(/footer is longer than the file/);
  });
});
