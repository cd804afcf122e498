/** A raster in another unit than its definition's: the county's hills, written by GDAL in metres, said to be in feet. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { viewOf } from '../../src/jobs/handlers/view.ts';

const entry = (unit?: string): LayerEntry => ({
  id: 'elevation',
  definition: 'elevation',
  path: 'hills.tif',
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
  ...(unit === undefined ? {} : { unit }),
});

async function opened(unit?: string) {
  const source = memorySource('hills.tif', readFileSync('tests/fixtures/county/hills.tif'));
  const layer = await openLayer(createDesk(), entry(unit), source, {});
  if (!layer.ok) throw new Error(layer.failure.what);
  return layer.value;
}

describe('the unit of a file', () => {
  it('is converted where it is another', async () => {
    const view = viewOf(await opened('ft'));
    // gdalinfo -stats: 220 to 361.
    expect(view.raster?.figures?.least).toBeCloseTo(220 * 0.3048, 3);
    expect(view.raster?.figures?.most).toBeCloseTo(361 * 0.3048, 3);
  });

  it('is left alone where it is the definition’s', async () => {
    for (const unit of [undefined, 'm'])
      expect((await opened(unit)).figures).toMatchObject({ least: 220, most: 361 });
  });

  it('is said not to be known where it is not, and changes nothing', async () => {
    const layer = await opened('fathoms');
    expect(layer.figures).toMatchObject({ least: 220, most: 361 });
    expect(layer.notes.map((n) => n.what).join()).toContain('"fathoms", which is not known');
  });
});
