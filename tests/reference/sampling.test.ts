/**
 * Sampling against GDAL 3.6.2 (Debian gdal-bin). The expected numbers are in tests/fixtures/rasters/expected.json; the
 * commands that made them (gdallocationinfo -valonly, gdalwarp -r bilinear -et 0, gdaltransform) are in make.mjs beside it.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openGeotiff } from '../../src/io/read/rasters/geotiff.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../src/io/source/memory.ts';

type Row = [lon: number, lat: number, value: number | null];
interface Expected {
  size: [number, number];
  geoTransform: number[];
  bands: Array<{ band: number; nearest: Row[]; bilinear: Row[] }>;
}

const folder = new URL('../fixtures/rasters/', import.meta.url);
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as Record<
  string,
  Expected
>;

async function open(file: string): Promise<Raster> {
  const opened = await openGeotiff(memorySource(file, readFileSync(new URL(file, folder))));
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

async function valuesAt(raster: Raster, band: number, rows: Row[], method: 'nearest' | 'bilinear') {
  const { col, row } = raster.toPixel(
    Float64Array.from(rows, (r) => r[0]),
    Float64Array.from(rows, (r) => r[1]),
  );
  const values = await raster.sample(band, col, row, method);
  if (!values.ok) throw new Error(values.failure.what);
  return values.value;
}

describe('sampling equals GDAL', () => {
  for (const [file, want] of Object.entries(expected)) {
    it(`${file}: cells lie where GDAL says`, async () => {
      const raster = await open(file);
      expect([raster.width, raster.height]).toEqual(want.size);
      raster.transform.forEach((x, i) =>
        expect(Math.abs(x - want.geoTransform[i])).toBeLessThanOrEqual(1e-9 * Math.abs(want.geoTransform[i])),
      );
    });
    for (const { band, nearest, bilinear } of want.bands) {
      it(`${file} band ${band}: nearest cell, to the 15 digits that GDAL prints`, async () => {
        const values = await valuesAt(await open(file), band, nearest, 'nearest');
        for (const [i, [lon, lat, gdal]] of nearest.entries()) {
          const at = `${lon}, ${lat}: ${values[i]} against ${gdal}`;
          if (gdal === null) expect(values[i], at).toBeNaN();
          // 15 printed digits are within 5e-15 of the number; two different cells are never so near to each other.
          else expect(Math.abs(values[i] - gdal), at).toBeLessThanOrEqual(1e-14 * Math.abs(gdal));
        }
      });
      if (bilinear.length === 0) continue;
      it(`${file} band ${band}: bilinear, 1e-5 relative`, async () => {
        const values = await valuesAt(await open(file), band, bilinear, 'bilinear');
        let compared = 0;
        for (const [i, [lon, lat, gdal]] of bilinear.entries()) {
          // GDAL gives a value next to nodata from any weight at all, the methods only from half of it.
          if (Number.isNaN(values[i])) continue;
          compared++;
          const off = Math.abs(values[i] - (gdal as number)) / Math.max(1, Math.abs(gdal as number));
          expect(off, `${lon}, ${lat}: ${values[i]} against ${gdal}`).toBeLessThan(1e-5);
        }
        expect(compared).toBeGreaterThan(bilinear.length * 0.8);
      });
    }
  }
});
