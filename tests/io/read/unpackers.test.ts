import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { openGeotiff } from '../../../src/io/read/rasters/geotiff.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const folder = new URL('../../fixtures/rasters/', import.meta.url);

afterEach(() => vi.unstubAllGlobals());

describe('ZSTD and LERC where the policy of the host forbids fetching data: addresses', () => {
  it.each(['int32-planar.tif', 'float32-lerc.tif'])(
    '%s is unpacked, and fetch is as it was',
    async (file) => {
      const asked: string[] = [];
      const refusing = (address: string) => {
        asked.push(address);
        return Promise.reject(new TypeError('Failed to fetch'));
      };
      vi.stubGlobal('fetch', refusing);
      const raster = await openGeotiff(memorySource(file, readFileSync(new URL(file, folder))));
      if (!raster.ok) throw new Error(raster.failure.what);
      const value = await raster.value.sample(1, Float64Array.of(3), Float64Array.of(3), 'nearest');
      expect(value).toMatchObject({ ok: true });
      expect(asked).toEqual([]);
      expect(globalThis.fetch).toBe(refusing);
    },
  );
});
