// GeoPackages written by GDAL 3.6.2 and SQLite 3.40 (tests/fixtures/vectors/geopackage/make.sh), with what GDAL reads from
// them in degrees (expected.json beside it).
import type { FeatureCollection } from 'geojson';
import { readFileSync } from 'node:fs';
import initSql from 'sql.js/dist/sql-wasm-inline.js';
import { describe, expect, it } from 'vitest';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { over } from './opened.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const folder = new URL('../../fixtures/vectors/geopackage/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as Record<
  'zones' | 'trees' | 'trails' | 'own',
  FeatureCollection
>;

const open = (file: string, options: ReadOptions = {}, bytes = bytesOf(file)) =>
  openSource(memorySource(file, bytes), options);

const { read, said } = over(open);

/** The file after some SQL, by the library that also reads it: for what no program writes. */
async function changed(file: string, ...sql: string[]): Promise<Uint8Array> {
  const { Database } = await initSql();
  const db = new Database(bytesOf(file));
  // Triggers call functions of an index that this build of SQLite has not.
  const triggers = db.exec("SELECT name FROM sqlite_master WHERE type = 'trigger'")[0]?.values ?? [];
  for (const [name] of triggers) db.run(`DROP TRIGGER "${String(name)}"`);
  for (const s of sql) db.run(s);
  const bytes = db.export();
  db.close();
  return bytes;
}

const notesOf = (opened: Opened): string[] => opened.notes.map((n) => n.what);
const numbers = (value: unknown): number[] =>
  Array.isArray(value) ? value.flatMap(numbers) : [value as number];

function expectNear(got: unknown, want: unknown): void {
  const [a, b] = [numbers(got), numbers(want)];
  expect(a.length).toBe(b.length);
  // About 0.1 mm.
  for (let i = 0; i < a.length; i++) expect(Math.abs(a[i] - b[i])).toBeLessThan(1e-9);
}

describe('a GeoPackage of several tables', () => {
  it('tells them, those with geometries first', async () => {
    const opened = await read('county.gpkg');
    expect(opened).toMatchObject({
      format: 'GeoPackage',
      part: 'zones',
      crs: 'EPSG:5070',
      count: 3,
      notes: [],
    });
    expect(opened.parts).toEqual([
      { name: 'zones', kind: 'polygon', count: 3 },
      { name: 'old trees', kind: 'point', count: 3 },
      { name: 'trails', kind: 'line', count: 2 },
      { name: 'legend', kind: 'table', count: 2 },
    ]);
    expect(await said('county.gpkg', { part: 'rivers' })).toMatch(
      /holds no table "rivers"\. Choose one of: zones, old trees, trails, legend/,
    );
  });

  it('areas with holes as GDAL reads them', async () => {
    const { content } = await read('county.gpkg');
    if (content.kind !== 'polygon') throw new Error('polygons were expected');
    for (const [i, want] of expected.zones.features.entries()) {
      expect(content.features[i].attributes).toMatchObject(want.properties ?? {});
      if (want.geometry.type !== 'MultiPolygon') throw new Error('MultiPolygon was expected');
      expectNear(content.features[i].geometry, want.geometry.coordinates);
    }
  });

  it('points with attributes of every type; heights and empty geometries noted', async () => {
    const opened = await read('county.gpkg', { part: 'old trees' });
    if (opened.content.kind !== 'point') throw new Error('points were expected');
    expect(opened.crs).toBe('EPSG:26917');
    expect(notesOf(opened).sort()).toEqual([
      'heights were dropped (2 features)',
      'no geometry: left out (1 feature)',
    ]);
    for (const [i, { properties, geometry }] of expected.trees.features.slice(0, 2).entries()) {
      const { lon, lat, attributes } = opened.content.features[i];
      if (geometry.type !== 'Point') throw new Error('Point was expected');
      expectNear([lon, lat], geometry.coordinates.slice(0, 2));
      const { number, at, seen, ...rest } = properties as Record<string, string | number | null>;
      expect(attributes).toMatchObject(rest);
      // GDAL writes dates in a way of its own.
      expect(attributes['seen']).toBe(seen === null ? null : String(seen).replaceAll('/', '-'));
      expect(String(attributes['at'])).toMatch(at === null ? /null/ : /^2026-09-30T14:05:00/);
      // A number that JavaScript does not hold to the unit stays a text.
      expect(attributes['number']).toBe(i === 0 ? '9007199254740993' : number);
      expect(Object.entries(attributes).find(([k]) => k === '__proto__')?.[1]).toBe(i === 0 ? 'kept' : null);
    }
  });

  it('lines, and a table without geometries', async () => {
    const trails = await read('county.gpkg', { part: 'trails' });
    if (trails.content.kind !== 'line') throw new Error('lines were expected');
    const want = expected.trails.features.map((f) =>
      f.geometry.type === 'MultiLineString'
        ? f.geometry.coordinates.map((l) => l.map(([x, y]) => [x, y]))
        : [],
    );
    expectNear(trails.content.features.map((t) => t.lines), want); // prettier-ignore
    const legend = await read('county.gpkg', { part: 'legend' });
    if (legend.content.kind !== 'table') throw new Error('a table was expected');
    expect(legend).toMatchObject({ crs: null, extent: null, count: 2, part: 'legend' });
    expect(legend.content.table.columns).toEqual(['fid', 'code', 'meaning']);
    expect(rowsOf(legend.content.table)).toEqual([['1', 'A', 'upland'], ['2', 'B', 'valley, wet']]); // prettier-ignore
  });

  it('by area: only features whose box touches it', async () => {
    const [all, some] = [await read('county.gpkg'), await read('county.gpkg', { within: [-87.74, 39.84, -87.72, 39.85] })]; // prettier-ignore
    expect(all.count).toBe(3);
    if (some.content.kind !== 'polygon') throw new Error('polygons were expected');
    expect(some.content.features.map((f) => f.attributes['ZONE'])).toEqual(['A']);
    expect(await said('county.gpkg', { within: [10, 50, 11, 51] })).toMatch(/has nothing in this area/);
  });
});

describe('geometries of a GeoPackage', () => {
  it('with measures, empty, and of several kinds in one table', async () => {
    const opened = await read('measures.gpkg');
    if (opened.content.kind !== 'point') throw new Error('points were expected');
    expect(opened.content.features.map((s) => [s.lon, s.lat])).toEqual([[-82, 39], [-82.5, 39.5], [-83, 39], [-83.5, 39.5]]); // prettier-ignore
    expect(notesOf(opened).join()).toMatch(
      /heights were dropped.*measures.*no geometry: left out \(1 feature\)/,
    );
  });

  it('that are curved: refused with a sentence', async () => {
    expect(await said('curved.gpkg')).toMatch(
      /holds curved lines \(CurvePolygon in feature 1\).*straight lines/,
    );
    expect(await said('arcs.gpkg')).toMatch(/holds curved lines \(CompoundCurve/);
  });

  it('of a curved type, but straight all along: read', async () => {
    const { content } = await read('straight.gpkg');
    if (content.kind !== 'polygon') throw new Error('polygons were expected');
    expect(content.features.map((f) => f.geometry)).toEqual([
      [[[[-83, 39], [-82, 39], [-82, 40], [-83, 39]]], [[[-81, 39], [-80, 39], [-80, 40], [-81, 39]]]],
      [[[[-83, 38], [-82, 38], [-82, 38.5], [-83, 38]]]],
    ]); // prettier-ignore
  });
});

describe('the coordinate system of a GeoPackage', () => {
  it('of its own, by the definition in the file', async () => {
    const { content } = await read('own-crs.gpkg');
    if (content.kind !== 'line') throw new Error('lines were expected');
    const want = expected.own.features.map((f) =>
      f.geometry.type === 'MultiLineString'
        ? f.geometry.coordinates.map((l) => l.map(([x, y]) => [x, y]))
        : [],
    );
    expectNear(content.features.map((t) => t.lines), want); // prettier-ignore
  });

  it('that is not known: asked for, with the box of the positions', async () => {
    expect(await open('no-crs.gpkg')).toMatchObject({
      ok: false,
      failure: { code: 'crs', coordinates: [700000, 1900000, 704000, 1901000] },
    });
    expect((await read('no-crs.gpkg', { crs: 'EPSG:5070' })).count).toBe(3);
  });
});

describe('a GeoPackage that is not as it should be', () => {
  it('left open by another program (mode with a log): read; a log beside it is noted', async () => {
    const { content } = await read('own-crs.gpkg');
    const bytes = bytesOf('wal.gpkg');
    expect([bytes[18], bytes[19]]).toEqual([2, 2]);
    expect((await read('wal.gpkg')).content).toEqual(content);
    const log = [{ name: 'wal.gpkg-wal', bytes: Uint8Array.of(1) }];
    const opened = await openSource(memorySource('wal.gpkg', bytes, log));
    expect(opened.ok && notesOf(opened.value)[0]).toMatch(/was open in another program/);
  });

  it('with pictures of a map only: a sentence; beside other tables: a note', async () => {
    expect(await said('tiles.gpkg')).toMatch(/holds no table of features.*pictures of a map.*GeoTIFF/);
    const both = await changed(
      'county.gpkg',
      "INSERT INTO gpkg_contents (table_name, data_type, identifier) VALUES ('aerial', 'tiles', 'aerial')",
    );
    expect(notesOf(await read('county.gpkg', {}, both))).toEqual([
      'the table "aerial" holds pictures of a map: left out',
    ]);
  });

  it('with a view that goes on without end: left out, not run', async () => {
    const bytes = await changed(
      'county.gpkg',
      'DROP TABLE legend',
      'CREATE VIEW legend AS WITH RECURSIVE t(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM t) SELECT n FROM t',
    );
    const opened = await read('county.gpkg', {}, bytes);
    expect(notesOf(opened)).toEqual(['the table "legend" is a view on others, which is not read: left out']);
    const contents = await changed(
      'county.gpkg',
      'ALTER TABLE gpkg_contents RENAME TO c',
      'CREATE VIEW gpkg_contents AS WITH RECURSIVE t(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM t) SELECT n AS table_name, n AS data_type FROM t',
    );
    expect(await said('county.gpkg', {}, contents)).toMatch(/no GeoPackage/);
  });

  it("with geometries that are damaged, or another program's own: names table and row", async () => {
    const bytes = await changed('county.gpkg', `UPDATE trails SET geom = x'474100' WHERE fid = 2`);
    expect(await said('county.gpkg', { part: 'trails' }, bytes)).toMatch(
      /^county\.gpkg, table "trails", row 2: holds a geometry that is damaged/,
    );
    // A line of 4,294,967,295 positions.
    const lying = await changed('county.gpkg', `UPDATE trails SET geom = x'47500001000000000102000000ffffffff'`); // prettier-ignore
    expect(await said('county.gpkg', { part: 'trails' }, lying)).toMatch(/shorter than its counts say/);
  });

  it('that is another database: says which', async () => {
    const { Database } = await initSql();
    const made = (sql: string): Uint8Array => {
      const db = new Database();
      db.run(sql);
      return db.export();
    };
    const say = (sql: string) => said('a.sqlite', {}, made(sql));
    expect(await say('CREATE TABLE metadata (name, value); CREATE TABLE tiles (a)')).toMatch(/MBTiles/);
    expect(await say('CREATE TABLE geometry_columns (a)')).toMatch(/SpatiaLite/);
    expect(await say('CREATE TABLE trees (a)')).toMatch(/no GeoPackage/);
  });

  it.each([100, 512, 5000, 20_000])('cut short after %i bytes: one sentence', async (length) => {
    expect(await said('county.gpkg', {}, bytesOf('county.gpkg').slice(0, length))).toMatch(
      /damaged or cut short/,
    );
  });
});
