/**
 * Vector files that were damaged or made to do harm: each gives its sentence, or a layer with a note; nothing is thrown,
 * nothing goes on without end. The files are those of tests/fixtures/vectors, written by GDAL, DuckDB and SQLite.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sentence } from '../../src/domain/base/result.ts';
import { openSource } from '../../src/io/read/formats.ts';
import type { Opened, ReadOptions } from '../../src/io/read/types.ts';
import { memorySource } from '../../src/io/source/memory.ts';

const root = new URL('../fixtures/vectors/', import.meta.url);
const folders = ['shapefiles', 'geopackage', 'geoparquet', 'lines', 'topojson'];
const FORMATS = /\.(shp|dbf|gpkg|parquet|geojsonl|geojsons|topojson|zip)$/;
const files = folders.flatMap((folder) =>
  readdirSync(new URL(`${folder}/`, root))
    .filter((f) => FORMATS.test(f))
    .map((f) => `${folder}/${f}`),
);
const bytesOf = (path: string): Uint8Array => new Uint8Array(readFileSync(new URL(path, root)));

type Files = ReadonlyMap<string, Uint8Array>;

/** A file with those of its folder beside it; a .dbf is read by its .shp. */
function open(path: string, own: Uint8Array, options: ReadOptions = {}) {
  const [folder, name] = path.split('/');
  const target = name.replace(/\.dbf$/, '.shp');
  const base = name.replace(/\.[^.]*$/, '');
  const all: Files = new Map(
    ['shp', 'dbf', 'prj', 'cpg']
      .map((x) => `${base}.${x}`)
      .filter((f) => readdirSync(new URL(`${folder}/`, root)).includes(f))
      .map((f) => [f, f === name ? own : bytesOf(`${folder}/${f}`)]),
  );
  const beside = [...all].map(([n, bytes]) => ({ name: n, bytes }));
  return openSource(memorySource(target, all.get(target) ?? own, beside), options);
}

/** What a program says by itself when it has a bug, or what no one understands. */
const RAW = /undefined|\bNaN\b|\[object|TypeError|Cannot (read|mix|convert)|is not (a function|iterable|defined)|call stack|Invalid array length|DataView|memory access/i; // prettier-ignore

async function plain(path: string, bytes: Uint8Array, options?: ReadOptions): Promise<boolean> {
  const opened = await open(path, bytes, options);
  if (opened.ok) return true;
  expect(sentence(opened.failure)).not.toMatch(RAW);
  expect(sentence(opened.failure).length).toBeLessThan(600);
  return false;
}

/** So many places of the file, spread over it, the first and last bytes among them. */
const places = (length: number, n: number): number[] =>
  Array.from({ length: Math.min(n, length) }, (_, i) => Math.floor((i * length) / Math.min(n, length)));

describe('a vector file with a byte inverted, or cut short', () => {
  it.each(files)('%s: its sentence or a layer', async (path) => {
    const whole = bytesOf(path);
    let failures = 0;
    for (const at of places(whole.length, 400)) {
      const inverted = whole.slice();
      inverted[at] ^= 0xff;
      if (!(await plain(path, inverted))) failures++;
    }
    for (const length of places(whole.length, 100).slice(1))
      if (!(await plain(path, whole.slice(0, length)))) failures++;
    expect(failures).toBeGreaterThan(0);
  });
});

/** A .shp put together byte by byte, for what no program writes. */
function shp(type: number, contents: readonly Uint8Array[]): Uint8Array {
  const length = 100 + contents.reduce((sum, c) => sum + 8 + c.length, 0);
  const out = new Uint8Array(length);
  const view = new DataView(out.buffer);
  view.setInt32(0, 9994);
  view.setInt32(24, length / 2);
  view.setInt32(28, 1000, true);
  view.setInt32(32, type, true);
  let at = 100;
  for (const [i, content] of contents.entries()) {
    view.setInt32(at, i + 1);
    view.setInt32(at + 4, content.length / 2);
    out.set(content, at + 8);
    at += 8 + content.length;
  }
  return out;
}

type XY = readonly [number, number];

function polygon(rings: ReadonlyArray<readonly XY[]>): Uint8Array {
  const points = rings.flat();
  const out = new Uint8Array(44 + 4 * rings.length + 16 * points.length);
  const view = new DataView(out.buffer);
  view.setInt32(0, 5, true);
  view.setInt32(36, rings.length, true);
  view.setInt32(40, points.length, true);
  let first = 0;
  for (const [i, ring] of rings.entries()) {
    view.setInt32(44 + 4 * i, first, true);
    first += ring.length;
  }
  points.forEach(([x, y], i) => {
    view.setFloat64(44 + 4 * rings.length + 16 * i, x, true);
    view.setFloat64(52 + 4 * rings.length + 16 * i, y, true);
  });
  return out;
}

function point(x: number, y: number): Uint8Array {
  const out = new Uint8Array(20);
  const view = new DataView(out.buffer);
  view.setInt32(0, 1, true);
  view.setFloat64(4, x, true);
  view.setFloat64(12, y, true);
  return out;
}

const openShp = (bytes: Uint8Array) => openSource(memorySource('a.shp', bytes), { crs: 'EPSG:4326' });

async function readShp(bytes: Uint8Array): Promise<Opened> {
  const opened = await openShp(bytes);
  if (!opened.ok) throw new Error(sentence(opened.failure));
  return opened.value;
}

async function saidShp(bytes: Uint8Array): Promise<string> {
  const opened = await openShp(bytes);
  return opened.ok ? 'read' : sentence(opened.failure);
}

const changed = (bytes: Uint8Array, change: (view: DataView) => void): Uint8Array => {
  const out = bytes.slice();
  change(new DataView(out.buffer));
  return out;
};

/** Corners on a circle, clockwise, closed. */
const circle = (n: number, [x, y]: XY, radius: number, turn = -1): XY[] =>
  Array.from({ length: n + 1 }, (_, i) => {
    const angle = (turn * 2 * Math.PI * (i % n)) / n;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });

describe('a shapefile that lies', () => {
  const square = polygon([circle(4, [-82, 39], 1)]);

  it.each([
    ['two thousand million positions', (v: DataView) => v.setInt32(108 + 40, 0x7fffffff, true), /record 1.*states 2147483647 positions/],
    ['two thousand million parts', (v: DataView) => v.setInt32(108 + 36, 0x7fffffff, true), /states 2147483647 positions or parts/],
    ['fewer than no parts', (v: DataView) => v.setInt32(108 + 36, -1, true), /states -1/],
    ['a part that begins beyond the end', (v: DataView) => v.setInt32(108 + 44, 1000, true), /parts are out of order/],
    ['a record longer than the file', (v: DataView) => v.setInt32(104, 0x3fffffff), /record 1: is damaged or cut short/],
    ['a record of no length', (v: DataView) => v.setInt32(104, 0), /record 1: is damaged or cut short/],
    ['a file longer than it is', (v: DataView) => v.setInt32(24, 0x3fffffff), /is cut short/],
    ['a type that does not exist', (v: DataView) => v.setInt32(108, 99, true), /its type, 99/],
  ] as const)('with %s: its sentence', async (_, change, what) => {
    expect(await saidShp(changed(shp(5, [square]), change))).toMatch(what);
  }); // prettier-ignore

  it('of its length, whose records are there: read', async () => {
    expect((await readShp(changed(shp(5, [square]), (v) => v.setInt32(24, 50)))).count).toBe(1);
  });

  it('with positions that are no numbers, or not on the earth: left out or refused, never shown elsewhere', async () => {
    const odd = [NaN, Infinity, -Infinity, 1e300].map((x) => point(x, 39));
    const opened = await openShp(shp(1, [point(-82, 39), ...odd]));
    if (opened.ok) {
      const { content } = opened.value;
      expect(content.kind === 'point' && content.features.map((s) => [s.lon, s.lat])).toEqual([[-82, 39]]);
      expect(opened.value.notes.length).toBeGreaterThan(0);
    } else expect(sentence(opened.failure)).toMatch(/1e\+300|coordinate system/);
  });

  it('with a ring of 200,000 corners, and 20,000 holes in one outline', async () => {
    const large = await readShp(shp(5, [polygon([circle(200_000, [-82, 39], 1)])]));
    expect(large.content.kind === 'polygon' && large.content.features[0].geometry[0][0].length).toBe(200_001);
    const holes = Array.from({ length: 20_000 }, (_, i): XY[] =>
      circle(4, [-82.5 + (i % 200) / 200, 38.5 + Math.floor(i / 200) / 100], 0.001, 1),
    );
    const pierced = await readShp(shp(5, [polygon([circle(1000, [-82, 39], 1), ...holes])]));
    expect(pierced.content.kind === 'polygon' && pierced.content.features[0].geometry.map((p) => p.length)).toEqual([20_001]); // prettier-ignore
  });

  it('with rings wound in each other without end: its sentence, within seconds', async () => {
    // Each turns the way of a hole, and lies in the box of all others.
    const rings = Array.from({ length: 3000 }, (_, i) => circle(100, [-82, 39], 1 - i / 6000, 1));
    const start = performance.now();
    expect(await saidShp(shp(5, [polygon(rings)]))).toMatch(
      /record 1: is damaged \(its rings cannot be sorted/,
    );
    expect(performance.now() - start).toBeLessThan(30_000);
  });
});

describe('attributes that look like something else', () => {
  const attributes = { ['__proto__']: 'p', constructor: 'c', toString: 't', '<script>alert(1)</script>': '<img src=x onerror=alert(1)>', '': 'empty', '=1+1': '=HYPERLINK("x")' }; // prettier-ignore
  const feature = `{"type":"Feature","properties":${JSON.stringify(attributes)},"geometry":{"type":"Point","coordinates":[-82,39]}}`;
  it.each([
    ['a.geojson', `{"type":"FeatureCollection","features":[${feature}]}`],
    ['a.geojsonl', `${feature}\n${feature}\n`],
    ['a.topojson', `{"type":"Topology","arcs":[],"objects":{"__proto__":{"type":"Point","properties":${JSON.stringify(attributes)},"coordinates":[-82,39]}}}`],
  ])('in %s: kept as the text that they are', async (name, text) => {
    const opened = await openSource(memorySource(name, new TextEncoder().encode(text)));
    if (!opened.ok) throw new Error(sentence(opened.failure));
    const { content } = opened.value;
    expect(content.kind === 'point' && Object.entries(content.features[0].attributes)).toEqual(Object.entries(attributes));
    expect(({} as { p?: unknown }).p).toBeUndefined();
  }); // prettier-ignore
});

describe('files that are empty or named wrongly', () => {
  const names = ['a.shp', 'a.dbf', 'a.gpkg', 'a.parquet', 'a.topojson', 'a.geojsonl', 'a.zip', 'a.fgb'];
  it.each(names)('%s: of no bytes, or of a text', async (name) => {
    for (const text of ['', 'Dear Sir or Madam, the file is not what it seems to be.\n'.repeat(10)]) {
      const opened = await openSource(memorySource(name, new TextEncoder().encode(text)));
      if (opened.ok) throw new Error('a failure was expected');
      expect(sentence(opened.failure)).not.toMatch(RAW);
      expect(opened.failure.where).toBe(name);
    }
  });

  it('are read by what is in them', async () => {
    const cases = [
      ['geopackage/own-crs.gpkg', 'roads.shp', 'GeoPackage'],
      ['geoparquet/trails-0.4.parquet', 'trails.json', 'GeoParquet'],
      ['shapefiles/zones.zip', 'zones.gpkg', 'shapefile in a zip'],
    ] as const;
    for (const [path, name, format] of cases)
      expect(await openSource(memorySource(name, bytesOf(path)))).toMatchObject({
        ok: true,
        value: { format },
      });
  });
});
