/**
 * The GeoTIFF that is written here, against what GDAL 3.6.2 (Debian gdal-bin, python3-gdal) reads of it: numbers in
 * tests/fixtures/rasters/written/expected.json, made by make.ts beside it. Where GDAL is on the machine it reads the file
 * anew, and its own check of the layout (osgeo_utils.samples.validate_cloud_optimized_geotiff) has to find it valid.
 * Projections: the files of tests/fixtures/crs/keys, whose middles GDAL told.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openSource } from '../../src/io/read/formats.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { openGeotiff } from '../../src/io/write/geotiff.ts';
import { gdalReading, hasGdal, type GdalReading } from '../io/write/gdalReading.ts';
import { ABOUT, joined, SURFACES, written } from '../io/write/surfaces.ts';

const fixtures = new URL('../fixtures/', import.meta.url);
const expected = JSON.parse(
  readFileSync(new URL('rasters/written/expected.json', fixtures), 'utf8'),
) as Record<string, GdalReading>;
const dir = mkdtempSync(join(tmpdir(), 'written-'));
afterAll(() => rmSync(dir, { recursive: true }));

async function open(bytes: Uint8Array): Promise<Raster> {
  const opened = await openSource(memorySource('surface.tif', bytes));
  if (!opened.ok) throw new Error(opened.failure.what);
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  return opened.value.content.raster;
}

/** GDAL prints some six digits of a number; its null is no value. */
function same(got: number, value: number | null, where: string): void {
  if (value === null || Number.isNaN(value)) expect(got, where).toBeNaN();
  else expect(got, where).toBeCloseTo(value, 6);
}

/** The Python on the path that has GDAL's own check of the layout (Debian python3-gdal), null where none has. */
function pythonWithCheck(): string | null {
  for (const folder of (process.env['PATH'] ?? '').split(delimiter)) {
    try {
      const python = join(folder, 'python3');
      execFileSync(python, ['-c', `import ${CHECK}`], { stdio: 'ignore' });
      return python;
    } catch {
      // The next one.
    }
  }
  return null;
}
const CHECK = 'osgeo_utils.samples.validate_cloud_optimized_geotiff';

const python = pythonWithCheck();

describe.each(SURFACES.map((s) => [s.name, s] as const))('%s', (name, surface) => {
  const want = expected[name];

  it('GDAL read the values that were written, and found the place, the tiles and the words', () => {
    expect(want.size).toEqual([surface.width, surface.height]);
    want.geoTransform.forEach((x, i) => expect(x).toBeCloseTo(surface.transform[i], 9));
    expect(want.structure).toEqual({
      COMPRESSION: 'DEFLATE',
      INTERLEAVE: 'BAND',
      LAYOUT: 'COG',
      PREDICTOR: '3',
    });
    expect(want.band).toEqual({
      type: 'Float32',
      description: 'match',
      noDataValue: 'NaN',
      block: [256, 256],
    });
    expect(want.metadata).toEqual({
      ...ABOUT.lines,
      AREA_OR_POINT: 'Area',
      TIFFTAG_IMAGEDESCRIPTION: `${ABOUT.title}\n${ABOUT.notice}`,
    });
    const cells = want.cells.filter(([level]) => level === 0);
    expect(cells.length).toBeGreaterThan(0);
    for (const [, col, row, value] of cells) same(surface.value(col, row), value, `${col}, ${row}`);
  });

  it('what is written now is read here as GDAL read it then: image, overviews and place', async () => {
    const raster = await open(await written(surface));
    const middle = raster.toPlace(Float64Array.of(raster.width / 2), Float64Array.of(raster.height / 2));
    const metres =
      111_320 *
      Math.hypot(
        (middle.lon[0] - want.middle[0]) * Math.cos((want.middle[1] * Math.PI) / 180),
        middle.lat[0] - want.middle[1],
      );
    // From the datum of 1927 GDAL goes by another way than the three numbers of the region.
    expect(metres).toBeLessThan(surface.crs.includes('NAD27') ? 13 : 0.02);
    for (const [level, [w, h]] of [want.size, ...want.overviews].entries()) {
      const picture = await raster.picture(1, [0, 0, raster.width, raster.height], w, h);
      if (!picture.ok) throw new Error(picture.failure.what);
      const cells = want.cells.filter((c) => c[0] === level);
      expect(cells.length).toBeGreaterThan(0);
      for (const [, col, row, value] of cells)
        same(picture.value[row * w + col], value, `level ${level}, ${col}, ${row}`);
    }
  });

  it.runIf(hasGdal())('GDAL reads it now as it did then', async () => {
    const file = join(dir, 'surface.tif');
    writeFileSync(file, await written(surface));
    const { statistics, ...rest } = gdalReading(file, surface);
    const { statistics: wanted, ...others } = want;
    expect(rest).toEqual(others);
    for (const [i, x] of (wanted ?? []).entries()) same(statistics?.[i] ?? NaN, x, 'statistics');
  });

  it.runIf(python !== null)('the check of GDAL finds it a valid cloud-optimised GeoTIFF', async () => {
    const file = join(dir, 'checked.tif');
    writeFileSync(file, await written(surface));
    const said = execFileSync(python ?? '', ['-m', CHECK, '--full-check=yes', file], {
      encoding: 'utf8',
    });
    expect(said).toMatch(/is a valid cloud optimized GeoTIFF/);
    expect(said).not.toMatch(/warning/i);
  });
});

describe('coordinate systems of files, written again', () => {
  const folder = new URL('crs/keys/', fixtures);
  const middles = (
    JSON.parse(readFileSync(new URL('middles.json', folder), 'utf8')) as Array<[string, number, number]>
  ).filter(([name]) => !name.startsWith('refused'));

  it.each(middles)('%s: the middle within a centimetre of GDAL’s', async (name, lon, lat) => {
    const raster = await open(new Uint8Array(readFileSync(new URL(`${name}.tif`, folder))));
    const { width, height, transform, system } = raster;
    const writer = openGeotiff({ width, height, transform, crs: system }, ABOUT);
    await writer.rows(new Float32Array(width * height));
    const again = await open(joined(await writer.end()));
    const at = again.toPlace(Float64Array.of(2), Float64Array.of(2));
    const off = 111_320 * Math.hypot((at.lon[0] - lon) * Math.cos((lat * Math.PI) / 180), at.lat[0] - lat);
    expect(off).toBeLessThan(0.01);
  });
});
