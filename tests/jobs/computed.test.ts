/** Layers computed from an elevation layer, through the desk: unit, band, notes, figures, and what is refused. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, type Desk, type OpenLayer } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { openComputed } from '../../src/jobs/handlers/openComputed.ts';
import { viewOf } from '../../src/jobs/handlers/view.ts';
import { sentence, type Result } from '../../src/domain/base/result.ts';
import { tiff } from '../io/read/tiff.ts';

const entry = (id: string, more: Partial<LayerEntry> = {}): LayerEntry => ({
  id,
  definition: id,
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
  ...more,
});
const value = <T>(r: Result<T>): T => {
  if (!r.ok) throw new Error(sentence(r.failure));
  return r.value;
};
const said = (r: Result<unknown>): string => (r.ok ? 'opened' : sentence(r.failure));
const folder = 'tests/fixtures/rasters/terrain';
const utm = readFileSync(`${folder}/utm.tif`);

async function deskWith(bytes: Uint8Array, more: Partial<LayerEntry> = {}): Promise<Desk> {
  const desk = createDesk();
  value(
    await openLayer(desk, entry('elevation', { path: 'e.tif', ...more }), memorySource('e.tif', bytes), {}),
  );
  return desk;
}
const compute = async (desk: Desk, definition: string, more: Partial<LayerEntry> = {}): Promise<OpenLayer> =>
  value(await openComputed(desk, entry(definition, { from: 'elevation', ...more }), {}));

async function cell(layer: OpenLayer, col: number, row: number): Promise<number> {
  if (layer.opened.content.kind !== 'raster') throw new Error('a raster was expected');
  const { raster } = layer.opened.content;
  return value(await raster.sample(1, Float64Array.of(col + 0.5), Float64Array.of(row + 0.5), 'nearest'))[0];
}

/** A plane of 10 m cells that gains `east` and `north` metres a metre. */
const plane = (east: number, north: number, place?: readonly [number, number, number, number]): Uint8Array =>
  tiff({
    width: 9,
    height: 8,
    values: Array.from({ length: 72 }, (_, i) => 500 + 10 * (east * (i % 9) - north * Math.floor(i / 9))),
    tile: 16,
    ...(place ? { place } : {}),
  });

describe('a layer that is computed from elevation', () => {
  it('is open like any raster: figures, place, what it is called', async () => {
    const desk = await deskWith(utm);
    const view = viewOf(await compute(desk, 'slope', { title: 'Steepness' }));
    expect(view).toMatchObject({
      id: 'slope',
      file: 'Steepness',
      format: 'computed',
      crs: 'EPSG:32617',
      count: 1,
    });
    expect(view.raster).toMatchObject({ width: 24, height: 20 });
    // gdaldem's least and most.
    const { slope } = (
      JSON.parse(readFileSync(`${folder}/expected.json`, 'utf8')) as Record<string, { slope: number[][] }>
    )['utm.tif'];
    const known = slope.flat().filter((x) => typeof x === 'number');
    expect(view.raster?.figures?.least).toBe(Math.min(...known));
    expect(view.raster?.figures?.most).toBeCloseTo(Math.max(...known), 4);
    expect(desk.layers.get('slope')?.notes).toEqual([]);
  });

  it('takes the heights in the unit that the elevation layer says', async () => {
    const metres = await compute(await deskWith(plane(1, 0)), 'slope');
    const feet = await compute(await deskWith(plane(1, 0), { unit: 'ft' }), 'slope');
    expect(await cell(metres, 4, 4)).toBeCloseTo(45, 5);
    expect(await cell(feet, 4, 4)).toBeCloseTo((Math.atan(0.3048) * 180) / Math.PI, 5);
  });

  it('has known slope and facing on a plane, and no value at the edge', async () => {
    // Falls to the north with 3 in 4: 36.87 degrees, of which the sine is 0.6.
    const desk = await deskWith(plane(0, -0.75));
    expect(await cell(await compute(desk, 'slope'), 4, 4)).toBeCloseTo(36.8699, 4);
    expect(await cell(await compute(desk, 'northness'), 4, 4)).toBeCloseTo(0.6, 6);
    expect(await cell(await compute(desk, 'eastness'), 4, 4)).toBeCloseTo(0, 6);
    const position = await compute(desk, 'relative-position');
    expect(await cell(position, 4, 4)).toBeCloseTo(0, 4);
    for (const [c, r] of [
      [0, 4],
      [8, 4],
      [4, 0],
      [4, 7],
    ])
      expect(await cell(position, c, r)).toBeNaN();
    // A circle of 25 m reaches two cells: two from each edge have no value.
    const wide = await compute(desk, 'relative-position', { id: 'wide', radius: 25 });
    expect(await cell(wide, 2, 4)).toBeCloseTo(0, 4);
    expect(await cell(wide, 1, 4)).toBeNaN();
  });

  it('is refused, in a sentence, where it cannot be computed', async () => {
    const desk = await deskWith(utm);
    const refusal = async (id: string, more: Partial<LayerEntry>) =>
      said(await openComputed(desk, entry(id, more), {}));
    expect(await refusal('slope', { from: 'hills' })).toBe(
      'Slope: is computed from the layer "hills", which is not open. See what is wrong with that layer.',
    );
    expect(await refusal('soil-ph', { from: 'elevation' })).toMatch(/cannot be\. Bring a file for it/);
    expect(await refusal('relative-position', { from: 'elevation', radius: 20 })).toBe(
      'Relative position: compares with the ground within 20 m, in which lies no other cell: they are 30 m apart. Give a radius of at least 30 m, or none for the eight cells around.',
    );
    expect(await refusal('relative-position', { from: 'elevation', radius: 50_000 })).toMatch(
      /more than 500 cells of 30 m/,
    );
    value(await openLayer(desk, entry('land-cover', { path: 'c.tif' }), memorySource('c.tif', utm), {}));
    expect(await refusal('slope', { from: 'land-cover' })).toMatch(
      /computed from Land cover, which is not an elevation/,
    );
    expect([...desk.layers.keys()]).toEqual(['elevation', 'land-cover']);
  });

  it('says that it holds nothing where no cell has all its neighbours', async () => {
    for (const [width, height] of [
      [1, 1],
      [2, 2],
      [9, 1],
      [3, 3],
    ]) {
      const flat = {
        width,
        height,
        values: new Array<number>(width * height).fill(width === 3 ? -1 : 7),
        tile: 16,
      };
      const desk = await deskWith(tiff({ ...flat, nodata: '-1' }));
      for (const id of ['slope', 'northness', 'relative-position']) {
        const layer = await compute(desk, id);
        expect(layer.figures).toBeNull();
        expect(layer.notes.map((n) => n.what)).toEqual([expect.stringContaining('holds no value at all')]);
      }
    }
  });
});
