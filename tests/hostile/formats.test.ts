/** Files that are something else than their name says, or nothing at all: one Failure with its sentence, nothing thrown. */
import { rowsOf } from '../../src/domain/base/table.ts';
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fail, sentence, type Failure } from '../../src/domain/base/result.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import type { Source } from '../../src/io/source.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const open = (name: string, bytes: Uint8Array) => openSource(memorySource(name, bytes));

function expectPlain({ where, what, todo }: Failure, name: string): void {
  expect(where).toBe(name);
  expect(todo).not.toBe('');
  const words = sentence({ code: 'format', where, what, todo });
  expect(words).not.toMatch(/undefined|\bNaN\b|\[object|TypeError|Cannot read|is not a function/);
  expect(words.length).toBeLessThan(600);
}

const NAMES = ['a.tif', 'a.fgb', 'a.geojson', 'a.json', 'a.csv', 'a.tsv', 'a.txt', 'a', 'a.zip', 'a.shp'];
const NO_TEXT = NAMES.filter((n) => !/\.(csv|tsv|txt)$/.test(n));

describe('a file that is something else', () => {
  const page = '<!DOCTYPE html><html><head><title>404 Not Found</title></head><body></body></html>';
  const png = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13);
  const cases: ReadonlyArray<readonly [string, Uint8Array, RegExp, readonly string[]]> = [
    ['an error page', utf8(page), /is a web page/, NAMES],
    ['an error page after blank lines', utf8('\r\n\r\n' + page.toLowerCase()), /is a web page/, NAMES],
    ['a zip archive', Uint8Array.of(0x50, 0x4b, 3, 4, 20, 0, 0, 0), /zip that is cut short/, NAMES],
    ['a shapefile', Uint8Array.of(0, 0, 0x27, 0x0a, 0, 0, 0, 0), /shapefile/, NAMES],
    ['a GeoPackage', utf8('SQLite format 3\0' + '\0'.repeat(84)), /GeoPackage/, NAMES],
    ['a RAR archive', utf8('Rar!\x1a\x07\x00'), /archive that is not opened/, NAMES],
    ['a PNG picture', png, /picture/, NAMES],
    ['a JPEG picture', Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16), /picture/, NAMES],
    ['KML', utf8('<?xml version="1.0"?><kml></kml>'), /no points/, NAMES],
    ['GPX', utf8('\ufeff<?xml version="1.0"?><gpx></gpx>'), /no waypoints/, NAMES],
    ['an empty file', new Uint8Array(0), /is empty/, NAMES],
    ['one zero', Uint8Array.of(0), /not what its name says|not in a format/, NAMES],
    ['some text', utf8('Dear Sir or Madam'), /not what its name says|not in a format/, NO_TEXT],
  ];
  it.each(cases)('%s, under any name', async (_, bytes, what, names) => {
    for (const name of names) {
      const opened = await open(name, bytes);
      if (opened.ok) throw new Error(`${name} was read`);
      expect(opened.failure.what, name).toMatch(what);
      expectPlain(opened.failure, name);
    }
  });

  it('goes by its first bytes where the name is wrong', async () => {
    const tif = readFileSync(new URL('../fixtures/rasters/uint16-point.tif', import.meta.url));
    expect(await open('map.csv', new Uint8Array(tif))).toMatchObject({
      ok: true,
      value: { format: 'GeoTIFF' },
    });
    const fgb = readFileSync(new URL('../fixtures/flatgeobuf/points-utm.fgb', import.meta.url));
    expect(await open('points.geojson', new Uint8Array(fgb))).toMatchObject({
      ok: true,
      value: { format: 'FlatGeobuf' },
    });
    const point = utf8('{"type":"Point","coordinates":[-82,39]}');
    expect(await open('points.csv', point)).toMatchObject({ ok: true, value: { format: 'GeoJSON' } });
  });
});

describe('any bytes at all', () => {
  const heads = [[], [0x49, 0x49, 42, 0], [0x4d, 0x4d, 0, 42], [0x49, 0x49, 43, 0], [0x66, 0x67, 0x62, 3, 0x66, 0x67, 0x62, 1], [0x7b], [0xff, 0xfe], [0xfe, 0xff], [0xef, 0xbb, 0xbf]]; // prettier-ignore
  it('give a content or one Failure (1000 random files)', async () => {
    let failures = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...NAMES),
        fc.constantFrom(...heads),
        fc.uint8Array({ maxLength: 400 }),
        async (name, head, tail) => {
          const opened = await open(name, Uint8Array.of(...head, ...tail));
          if (opened.ok) return;
          failures++;
          expectPlain(opened.failure, name);
        },
      ),
      { numRuns: 1000, seed: 20261125 },
    );
    expect(failures).toBeGreaterThan(500);
  });

  it('in GeoJSON: values of any kind anywhere (1000 random files)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(
          'Point',
          'MultiPoint',
          'LineString',
          'MultiLineString',
          'Polygon',
          'MultiPolygon',
          'Other',
        ),
        fc.jsonValue({ maxDepth: 5 }),
        fc.jsonValue({ maxDepth: 2 }),
        fc.jsonValue({ maxDepth: 2 }),
        async (type, coordinates, properties, other) => {
          const value = {
            type: 'FeatureCollection',
            features: [
              { type: 'Feature', properties, geometry: { type, coordinates } },
              { type: 'Feature', properties: other, geometry: other },
              other,
            ],
          };
          const opened = await open('a.geojson', utf8(JSON.stringify(value)));
          if (!opened.ok) expectPlain(opened.failure, 'a.geojson');
        },
      ),
      { numRuns: 1000, seed: 20261125 },
    );
  });

  it('in a table: any text (500 random files)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.constantFrom('a', ',', ';', '"', '\n', '\r', ' ', '\t', '\0', 'é', '=1')),
        async (parts) => {
          const opened = await open('a.csv', utf8(parts.join('')));
          if (!opened.ok) return expectPlain(opened.failure, 'a.csv');
          const { content } = opened.value;
          if (content.kind !== 'table') throw new Error('a table was expected');
          for (const row of rowsOf(content.table)) expect(row.length).toBe(content.table.columns.length);
        },
      ),
      { numRuns: 500, seed: 20261125 },
    );
  });
});

describe('a source that fails while it is read', () => {
  const files = ['rasters/int16-scaled.tif', 'flatgeobuf/points-utm.fgb', 'county/notebook.csv'];
  it.each(files)('%s: its own Failure comes out', async (file) => {
    const bytes = new Uint8Array(readFileSync(new URL(`../fixtures/${file}`, import.meta.url)));
    const whole = memorySource(file, bytes);
    // From the first read on, the second, ...
    for (let good = 0; good < 4; good++) {
      let reads = 0;
      const gone = fail('unreadable', file, 'can no longer be read', 'Add the file again.');
      const source: Source = {
        ...whole,
        read: (offset, length) => (reads++ < good ? whole.read(offset, length) : Promise.resolve(gone)),
        readAll: () => (reads++ < good ? whole.readAll() : Promise.resolve(gone)),
      };
      const opened = await openSource(source);
      if (!opened.ok) expect(opened.failure).toEqual(gone.failure);
      // A table needs two reads and a raster a few: the first failure must have come out.
      else expect(good).toBeGreaterThan(1);
    }
  });
});
