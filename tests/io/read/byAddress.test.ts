import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/io/read/formats.ts';
import { urlSource } from '../../../src/io/source/url.ts';
import { host, whole } from '../source/host.ts';
import { tiff } from './tiff.ts';

/** 1024 x 1024 cells of four bytes in tiles of 256: 4 MB. */
const size = 1024;
const large = tiff({
  width: size,
  height: size,
  values: Float64Array.from({ length: size * size }, (_, k) => k % 1000),
  tile: 256,
});

async function raster(fetch: Parameters<typeof urlSource>[1]) {
  const opened = await openSource(urlSource('https://maps.invalid/large.tif', fetch));
  if (!opened.ok) throw new Error(opened.failure.what);
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  return { opened: opened.value, raster: opened.value.content.raster };
}

describe('a raster at an address', () => {
  it('is opened by one request, and a place in it is read by one or two more', async () => {
    const { fetch, asked } = host(large);
    const { raster: r, opened } = await raster(fetch);
    expect(opened.notes).toEqual([]);
    expect(asked).toEqual(['bytes=0-65535']);
    const value = await r.sample(1, Float64Array.of(700.5), Float64Array.of(900.5), 'bilinear');
    if (!value.ok) throw new Error(value.failure.what);
    expect(value.value[0]).toBe((900 * size + 700) % 1000);
    expect(asked.length).toBeLessThanOrEqual(3);
    expect(asked).not.toContain('all');
  });

  it('is taken whole from a host without ranges, with a note', async () => {
    const { raster: r, opened } = await raster(() => Promise.resolve(whole(large)));
    const value = await r.sample(1, Float64Array.of(3.5), Float64Array.of(0.5), 'nearest');
    expect(value.ok && value.value[0]).toBe(3);
    expect(opened.notes).toHaveLength(1);
    expect(opened.notes[0].what).toMatch(/fetched whole \(4\.\d MB\): maps\.invalid does not send parts/);
  });

  it('a host that fails in the middle gives its own sentence', async () => {
    const { fetch } = host(large);
    let count = 0;
    const { raster: r } = await raster((url, init) =>
      ++count > 1 ? Promise.reject(new TypeError('Failed to fetch')) : fetch(url, init),
    );
    const value = await r.sample(1, Float64Array.of(700.5), Float64Array.of(900.5), 'bilinear');
    expect(value).toMatchObject({ ok: false, failure: { code: 'unreadable', where: 'large.tif' } });
    if (!value.ok) expect(value.failure.what).toContain('maps.invalid');
  });
});
