/**
 * Rasters in many formats against GDAL 3.6.2 (Debian python3-gdal). The expected numbers are in
 * tests/fixtures/rasters/formats/expected.json; make.py beside it wrote the files (with GDAL and ncgen) and read them with GDAL.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../src/io/read/formats.ts';
import type { Opened } from '../../src/io/read/types.ts';
import { memorySource } from '../../src/io/source/memory.ts';

interface Expected {
  size: [number, number];
  geoTransform: number[];
  bands: Array<{
    band: number;
    type: string;
    description: string;
    cells: Array<[col: number, row: number, value: number | null]>;
  }>;
}

const folder = new URL('../fixtures/rasters/formats/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as Record<
  string,
  Expected
>;
const beside = readdirSync(folder)
  .filter((f) => /\.(prj|tfw|xml)$/.test(f))
  .map((name) => ({ name, bytes: bytesOf(name) }));

async function open(file: string, part?: string): Promise<Opened> {
  const opened = await openSource(memorySource(file, bytesOf(file), beside), part ? { part } : {});
  if (!opened.ok) throw new Error(`${opened.failure.what} ${opened.failure.todo}`);
  return opened.value;
}

describe('cells equal those that GDAL reads', () => {
  for (const [name, want] of Object.entries(expected))
    it(name, async () => {
      const [, part, file] = /^(?:([\w ]+) of )?(.*)$/.exec(name) ?? [];
      const { content, count } = await open(file, part);
      if (content.kind !== 'raster') throw new Error('a raster was expected');
      const { raster } = content;
      expect([raster.width, raster.height]).toEqual(want.size);
      expect(count).toBe(want.bands.length);
      // GDAL leaves the kilometres of this grid; positions here are metres.
      const unit = file === 'lambert.nc' ? 1000 : 1;
      // GDAL leaves the earth from 0 to 360; here it begins at the 180th meridian.
      const turned = file === 'globe.nc' ? want.size[0] / 2 : 0;
      const place = want.geoTransform.map((x, i) => (turned && i === 0 ? -180 : x * unit));
      const cell = Math.abs(want.geoTransform[1] * unit);
      raster.transform.forEach((x, i) =>
        expect(Math.abs(x - place[i]), `place ${i}`).toBeLessThan(1e-5 * cell),
      );
      for (const { band, type, cells, description } of want.bands) {
        if (file.endsWith('.tif')) expect(raster.bands[band - 1].description).toBe(description);
        const values = await raster.sample(
          band,
          Float64Array.from(cells, (c) => ((c[0] + turned) % want.size[0]) + 0.5),
          Float64Array.from(cells, (c) => c[1] + 0.5),
          'nearest',
        );
        if (!values.ok) throw new Error(values.failure.what);
        for (const [i, [col, row, gdal]] of cells.entries()) {
          const own = values.value[i];
          const at = `band ${band} (${type}), column ${col}, row ${row}: ${own} against ${gdal}`;
          if (gdal === null) expect(own, at).toBeNaN();
          // Text is held to all digits here, to 32 bits by GDAL.
          // Two decoders of JPEG round in their own ways, and spread colours, stored for every other cell, in their own.
          else if (file.startsWith('t-jpeg'))
            expect(Math.abs(own - gdal), at).toBeLessThanOrEqual(file.includes('colour') ? 8 : 2);
          else if (file.endsWith('.asc'))
            expect(Math.abs(own - gdal), at).toBeLessThanOrEqual(2 ** -24 * Math.abs(gdal));
          else expect(Math.abs(own - gdal), at).toBeLessThanOrEqual(1e-14 * Math.abs(gdal));
        }
      }
    });
});
