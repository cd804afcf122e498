/**
 * Coordinate systems from the keys of rasters that GDAL 3.6.2 wrote, against where GDAL puts the middle of each
 * (tests/fixtures/crs/keys, made by make.mjs there).
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';

const folder = new URL('../fixtures/crs/keys/', import.meta.url);
const middles = JSON.parse(readFileSync(new URL('middles.json', folder), 'utf8')) as Array<
  [name: string, lon: number, lat: number]
>;
const open = (name: string) =>
  openSource(memorySource(name, new Uint8Array(readFileSync(new URL(name, folder)))));

describe('keys of GeoTIFF as GDAL writes them', () => {
  it.each(middles.filter(([name]) => !name.startsWith('refused')))(
    '%s: the middle within a centimetre of GDAL’s',
    async (name, lon, lat) => {
      const opened = await open(`${name}.tif`);
      if (!opened.ok) throw new Error(`${opened.failure.what} ${opened.failure.todo}`);
      const { content } = opened.value;
      if (content.kind !== 'raster') throw new Error('a raster');
      const at = content.raster.toPlace(Float64Array.of(2), Float64Array.of(2));
      const off = 111_320 * Math.hypot((at.lon[0] - lon) * Math.cos((lat * Math.PI) / 180), at.lat[0] - lat);
      expect(off).toBeLessThan(0.01);
    },
  );

  it('a projection that is not understood is refused in words', async () => {
    const opened = await open('refused-robinson.tif');
    expect(opened).toMatchObject({ ok: false, failure: { code: 'crs', where: 'refused-robinson.tif' } });
  });

  it('a shift that the keys state is noted with how good it is', async () => {
    for (const name of ['own-ellipsoid-shift.tif', 'code-british-grid.tif']) {
      const opened = await open(name);
      if (!opened.ok) throw new Error(opened.failure.what);
      expect(opened.value.notes.map((n) => n.what).join()).toMatch(/seven-parameter.*EPSG:1314.*about 2 m/);
    }
  });
});
