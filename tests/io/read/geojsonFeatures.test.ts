import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/io/read/formats.ts';
import { geojsonFeatures } from '../../../src/io/read/vectors/geojsonFeatures.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const read = (text: string) => geojsonFeatures(utf8(text), 'a.geojson');

describe('GeoJSON feature by feature', () => {
  it('gives what the platform reads at once (1000 random texts)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.oneof(fc.jsonValue(), fc.constant('] } \\" [')), { maxLength: 6 }),
        fc.dictionary(fc.constantFrom('a', 'crs', '"features"', 'feature', 'b\\'), fc.jsonValue()),
        fc.dictionary(fc.constantFrom('c', 'name', '\\"'), fc.jsonValue()),
        fc.constantFrom(0, 1, '\t'),
        async (features, before, after, space) => {
          const value = { ...before, type: 'FeatureCollection', features, ...after };
          const got = await read(JSON.stringify(value, null, space));
          // What the text says, which is not all of what the value was (-0).
          const want = JSON.parse(JSON.stringify(value)) as typeof value;
          expect(got).toEqual({
            ok: true,
            value: { collection: { ...want, features: [] }, features: want.features, notes: [] },
          });
        },
      ),
      { numRuns: 1000, seed: 20261125 },
    );
  });

  it('leaves what is no collection to others', async () => {
    for (const text of [
      '{"type":"Point","coordinates":[1,2]}',
      '{"a":{"features":[]}}',
      '{"features":5}',
      '[]',
      '',
    ])
      expect(await read(text)).toEqual({ ok: true, value: null });
    expect(await read('{"features":[1],"features":[2]}')).toEqual({ ok: true, value: null });
  });

  it.each([
    ['{"features":[{"a":1},{"a":}]}', /feature 2/],
    ['{"features":[{"a":1},{"a":1}', /feature 3/],
    ['{"features":[{"a":1} {"a":1}]}', /feature 2/],
    ['{"features":[{"a":1},]}', /feature 2/],
    ['{"features":[{"a":"', /feature 1/],
    ['{"features":[', /feature 1/],
    ['{"features":[]', /a\.geojson$/],
    ['{"features":[]}}', /a\.geojson$/],
  ])('%s: a Failure that names the feature', async (text, where) => {
    expect(() => void JSON.parse(text)).toThrow();
    const got = await read(text);
    if (got.ok) throw new Error('a failure was expected');
    expect(got.failure.where).toMatch(where);
    expect(got.failure.what).toMatch(/is not valid JSON/);
  });

  it('a large file: read with progress, the same as a small one', async () => {
    const ring = (x: number) => [[x, 0], [x + 0.1, 0], [x + 0.1, 0.1], [x, 0]]; // prettier-ignore
    const features = Array.from({ length: 80_000 }, (_, i) => ({ type: 'Feature', id: i, properties: { name: `zone ${i}` }, geometry: { type: 'Polygon', coordinates: [ring((i % 1800) / 10 - 90)] } })); // prettier-ignore
    const bytes = utf8(JSON.stringify({ type: 'FeatureCollection', features }));
    expect(bytes.length).toBeGreaterThan(8e6);
    const seen: number[] = [];
    const work = { progress: (done: number, total: number) => seen.push(done / total) };
    const opened = await openSource(memorySource('a.geojson', bytes), { work });
    if (!opened.ok) throw new Error(opened.failure.what);
    expect(opened.value.count).toBe(80_000);
    expect(seen.length).toBeGreaterThan(2);
    if (opened.value.content.kind !== 'polygon') throw new Error('polygons were expected');
    expect(opened.value.content.features[79_999]).toEqual({
      attributes: { id: 79_999, name: 'zone 79999' },
      geometry: [[ring((79_999 % 1800) / 10 - 90)]],
    });
  });
});
