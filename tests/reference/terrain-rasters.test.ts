/**
 * Rasters computed from elevation against gdaldem of GDAL 3.6.2: every cell, the ones without a value too. make.py in
 * tests/fixtures/rasters/terrain wrote the elevations and says how each number was made.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { aspectOf, gradient, tiltOf } from '../../src/domain/layers/terrain.ts';
import type { BlockRaster } from '../../src/io/read/rasters/blockRaster.ts';
import { derivedRaster } from '../../src/io/read/rasters/derivedRaster.ts';
import { openGeotiff } from '../../src/io/read/rasters/geotiff.ts';
import { groundSteps } from '../../src/io/read/rasters/groundSteps.ts';
import { memorySource } from '../../src/io/source/memory.ts';

type Cells = ReadonlyArray<ReadonlyArray<number | null>>;
const folder = new URL('../fixtures/rasters/terrain/', import.meta.url);
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as Record<
  string,
  Record<string, Cells>
>;

async function open(file: string): Promise<BlockRaster> {
  const raster = await openGeotiff(memorySource(file, new Uint8Array(readFileSync(new URL(file, folder)))));
  if (!raster.ok) throw new Error(raster.failure.what);
  return raster.value as BlockRaster;
}

async function derived(
  ground: BlockRaster,
  derivation: 'slope' | 'northness' | 'eastness' | 'relative position',
) {
  // Blocks of 7 cells: each takes its margin from its neighbours.
  const raster = derivedRaster(ground, 1, { derivation, radius: 0 }, 'terrain', 7);
  if (!raster.ok) throw new Error(raster.failure.what);
  const { width, height } = raster.value;
  const cells = await raster.value.picture(1, [0, 0, width, height], width, height);
  if (!cells.ok) throw new Error(cells.failure.what);
  return cells.value;
}

/** Largest difference where both have a value; both lack one in the same cells. */
function off(got: ArrayLike<number>, want: Cells): number {
  let most = 0;
  want.flat().forEach((w, i) => {
    expect(Number.isNaN(got[i]), `cell ${i}`).toBe(w === null);
    if (w !== null) most = Math.max(most, Math.abs(got[i] - w));
  });
  return most;
}

describe('gdaldem gives the same', () => {
  it.each(['utm.tif', 'degrees.tif'])('slope of %s', async (file) => {
    const want = expected[file]['slope'];
    expect(want.flat().filter((x) => x !== null).length).toBeGreaterThan(370);
    expect(off(await derived(await open(file), 'slope'), want)).toBeLessThan(1e-4);
  });

  it.each(['utm.tif', 'degrees.tif'])('topographic position index of %s', async (file) => {
    expect(off(await derived(await open(file), 'relative position'), expected[file]['TPI'])).toBeLessThan(
      1e-4,
    );
  });

  it('aspect, and northness and eastness that follow from its aspect and slope', async () => {
    const ground = await open('utm.tif');
    const { aspect, slope } = expected['utm.tif'];
    const { width, height, system, transform } = ground;
    const steps = groundSteps(system, transform, width, height);
    const col = Float64Array.from({ length: width * height }, (_, i) => (i % width) + 0.5);
    const row = Float64Array.from({ length: width * height }, (_, i) => Math.floor(i / width) + 0.5);
    const windows = await ground.window3(1, col, row);
    if (!windows.ok) throw new Error(windows.failure.what);
    const got = Float64Array.from(col, (_, i) =>
      aspectOf(...gradient(windows.value, 9 * i, tiltOf(steps.at(col[i], row[i])))),
    );
    expect(off(got, aspect)).toBeLessThan(1e-3);
    const northness = await derived(ground, 'northness');
    const eastness = await derived(ground, 'eastness');
    const radians = Math.PI / 180;
    let flat = 0;
    slope.flat().forEach((s, i) => {
      const a = aspect.flat()[i];
      if (s === null) return;
      if (s === 0) flat++;
      // No aspect: flat ground, which faces nowhere.
      expect(northness[i]).toBeCloseTo(a === null ? 0 : Math.cos(a * radians) * Math.sin(s * radians), 5);
      expect(eastness[i]).toBeCloseTo(a === null ? 0 : Math.sin(a * radians) * Math.sin(s * radians), 5);
    });
    expect(flat).toBe(4);
  });
});
