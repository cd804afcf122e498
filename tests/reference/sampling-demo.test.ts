/**
 * Values of the demonstration rasters against GDAL 3.6.2 (Debian gdal-bin). The numbers are in
 * tests/fixtures/demo-sampling/expected.json; the commands that made them are in make.mjs beside it. Places are given in
 * degrees, so that the coordinate system is part of what is compared.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openGeotiff } from '../../src/io/read/rasters/geotiff.ts';
import { memorySource } from '../../src/io/source/memory.ts';

type Row = readonly [lon: number, lat: number, value: number | null];
const expected = JSON.parse(
  readFileSync(new URL('../fixtures/demo-sampling/expected.json', import.meta.url), 'utf8'),
) as Record<string, { nearest: Row[]; bilinear: Row[] }>;

async function sample(file: string, rows: readonly Row[], method: 'nearest' | 'bilinear') {
  const bytes = new Uint8Array(readFileSync(new URL(`../../demo-data/${file}`, import.meta.url)));
  const opened = await openGeotiff(memorySource(file, bytes));
  if (!opened.ok) throw new Error(opened.failure.what);
  const { col, row } = opened.value.toPixel(
    Float64Array.from(rows, (r) => r[0]),
    Float64Array.from(rows, (r) => r[1]),
  );
  const values = await opened.value.sample(1, col, row, method);
  if (!values.ok) throw new Error(values.failure.what);
  return values.value;
}

describe('the demonstration rasters', () => {
  it('are all compared', () => expect(Object.keys(expected).length).toBe(10));

  for (const [file, { nearest, bilinear }] of Object.entries(expected)) {
    it(`${file}: nearest cell, exactly`, async () => {
      const values = await sample(file, nearest, 'nearest');
      for (const [i, [lon, lat, gdal]] of nearest.entries()) {
        const at = `${lon}, ${lat}: ${values[i]} against ${gdal}`;
        if (gdal === null) expect(values[i], at).toBeNaN();
        // To the 15 digits that GDAL prints.
        else expect(Math.abs(values[i] - gdal), at).toBeLessThanOrEqual(1e-14 * Math.abs(gdal));
      }
    });
    if (bilinear.length === 0) continue;
    it(`${file}: bilinear, 1e-5 relative`, async () => {
      const values = await sample(file, bilinear, 'bilinear');
      for (const [i, [lon, lat, gdal]] of bilinear.entries()) {
        const off = Math.abs(values[i] - (gdal as number)) / Math.max(1, Math.abs(gdal as number));
        expect(off, `${lon}, ${lat}: ${values[i]} against ${gdal}`).toBeLessThan(1e-5);
      }
    });
  }
});
