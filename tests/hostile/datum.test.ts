/**
 * The old datum NAD27 lies tens of metres from WGS 84, and only a shift grid tells how far: a file on it is refused, however
 * it says so. Files and texts by GDAL 3.6.2: see make.sh there.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../src/domain/base/result.ts';
import { crsFrom } from '../../src/io/crs.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';

const folder = new URL('../fixtures/datum/', import.meta.url);
const files = readdirSync(folder);

function expectRefused(result: Result<unknown>, where: string): void {
  expect(result).toMatchObject({ ok: false, failure: { code: 'crs', where } });
  if (result.ok) return;
  expect(result.failure.what).toMatch(/NAD27|datum that is not understood/);
  expect(result.failure.todo).toMatch(/Convert the file to NAD83 or WGS 84/);
}

describe('the datum NAD27', () => {
  it.each(files.filter((f) => f.endsWith('.txt')))('is refused in a text: %s', async (file) => {
    expectRefused(await crsFrom(readFileSync(new URL(file, folder), 'utf8'), 'roads'), 'roads');
  });

  it.each(files.filter((f) => f.endsWith('.tif') && f !== 'nad83.tif'))(
    'is refused in a raster: %s',
    async (file) => {
      const bytes = new Uint8Array(readFileSync(new URL(file, folder)));
      expectRefused(await openSource(memorySource(file, bytes)), file);
    },
  );

  it('is what is refused: the same projection on NAD83 is read', async () => {
    const bytes = new Uint8Array(readFileSync(new URL('nad83.tif', folder)));
    expect(await openSource(memorySource('nad83.tif', bytes))).toMatchObject({
      ok: true,
      value: { count: 1 },
    });
  });
});
