// Newline-delimited GeoJSON written by GDAL 3.6.2 (tests/fixtures/vectors/lines/make.sh) from the shapefiles beside it.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/io/read/formats.ts';
import { over } from './opened.ts';
import type { ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const folder = new URL('../../fixtures/vectors/lines/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

const open = (name: string, bytes: Uint8Array, options: ReadOptions = {}) =>
  openSource(memorySource(name, bytes), options);

const { read, said } = over(open);

const point = (x: number, y: number): string => `{"type":"Feature","properties":{"x":${x}},"geometry":{"type":"Point","coordinates":[${x},${y}]}}`; // prettier-ignore

describe('newline-delimited GeoJSON', () => {
  it('with and without record separators: the same features', async () => {
    const [plain, separated] = [
      await read('oaks.geojsonl', bytesOf('oaks.geojsonl')),
      await read('oaks.geojsons', bytesOf('oaks.geojsons')),
    ];
    expect(plain).toMatchObject({ format: 'newline-delimited GeoJSON', count: 3, crs: 'EPSG:4326' });
    expect(plain.content).toMatchObject({
      features: [{ lon: -82.9635009, lat: 39.0125201, attributes: { tag: '007', name: 'Chêne à gros fruits' } }, {}, {}], // prettier-ignore
    });
    expect(separated.content).toEqual(plain.content);
    const zones = await read('zones.geojsonl', bytesOf('zones.geojsonl'));
    expect([zones.content.kind, zones.count]).toEqual(['polygon', 3]);
  });

  it('under the name of a collection, with blank lines, other line ends, or bare geometries', async () => {
    const { content } = await read('oaks.geojsonl', bytesOf('oaks.geojsonl'));
    expect((await read('oaks.geojson', bytesOf('oaks.geojsonl'))).content).toEqual(content);
    expect((await read('oaks.json', bytesOf('oaks.geojsons'))).content).toEqual(content);
    const odd = `\n${point(1, 2)}\r\n\r\n{"type":"Point","coordinates":[3,4]}\n\n`;
    expect((await read('a.ndjson', utf8(odd))).count).toBe(2);
  });

  it('with separators: a record may go over several lines', async () => {
    const pretty = (text: string): string => `\x1e${JSON.stringify(JSON.parse(text), null, 2)}\n`;
    expect((await read('a.geojsons', utf8(pretty(point(1, 2)) + pretty(point(3, 4))))).count).toBe(2);
    const broken = `${pretty(point(1, 2))}\x1e{"type":\n`;
    expect(await said('a.geojsons', utf8(broken))).toMatch(/^a\.geojsons, line 14: is not valid JSON/);
  });

  it('with a line that is none: named by its number', async () => {
    const lines = [point(1, 2), '', point(3, 4), '{"type":"Feature",', point(5, 6)].join('\n');
    expect(await said('a.geojsonl', utf8(lines))).toMatch(/^a\.geojsonl, line 4: is not valid JSON/);
    expect(await said('a.geojson', utf8(lines))).toMatch(/^a\.geojson, line 4: is not valid JSON/);
    expect(await said('a.geojsonl', utf8(`${point(1, 2)}\n{"name":"x"}`))).toMatch(
      /line 2: is JSON, but no feature/,
    );
    const cut = bytesOf('zones.geojsonl').slice(0, -200);
    expect(await said('zones.geojsonl', cut)).toMatch(/line 3: is not valid JSON/);
  });

  it('tells how far it is, and stops when asked to', async () => {
    const many = utf8(Array.from({ length: 60_000 }, (_, i) => point(i % 90, 2)).join('\n'));
    const seen: number[] = [];
    const progress = (done: number, total: number): number => seen.push(done / total);
    expect((await read('a.geojsonl', many, { work: { progress } })).count).toBe(60_000);
    expect(seen.length).toBeGreaterThan(1);
    class Stop extends Error {
      override name = 'Cancelled';
    }
    const pause = () => Promise.reject(new Stop());
    await expect(open('a.geojsonl', many, { work: { pause } })).rejects.toThrow(Stop);
  });
});
