/** What is told of a file before it becomes a layer. The sheet is written by hand; raster and GeoPackage are GDAL's (make files beside them). */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { memorySource } from '../../src/io/source/memory.ts';
import type { Source } from '../../src/io/source.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { figuresOf } from '../../src/jobs/handlers/figures.ts';
import { inspectSource } from '../../src/jobs/handlers/inspect.ts';
import { preview, survey } from '../../src/jobs/handlers/survey.ts';
import { systems } from '../../src/jobs/handlers/systems.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';

const file = (path: string): Source =>
  memorySource(path.split('/').at(-1) ?? path, readFileSync(`tests/fixtures/${path}`));

async function value<T>(
  result: Promise<{ ok: true; value: T } | { ok: false; failure: { what: string } }>,
): Promise<T> {
  const r = await result;
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
}

const COLUMNS = { lon: 'Across', species: 'Kind', id: 'Stem' };

describe('a table that is looked into', () => {
  it('gives its first rows as written', async () => {
    const found = await value(inspectSource(createDesk(), file('intake/field-sheet.csv'), {}, {}));
    expect(found).toMatchObject({ kind: 'table', count: 6, definition: '', parts: [], figures: null });
    expect(found.sample?.columns).toEqual(['Stem', 'Lat', 'Across', 'Kind', 'Girth over bark', 'Who']);
    expect(found.sample?.rows[0][1]).toBe('40,948014');
    expect(found.sample?.lines).toEqual([2, 3, 4, 5, 6, 7]);
  });

  it('is previewed and read through with the columns that are chosen', async () => {
    const desk = createDesk();
    const source = file('intake/field-sheet.csv');
    const { sample } = await value(inspectSource(desk, source, {}, {}));
    if (!sample) throw new Error('no sample');
    const first = await value(preview({ sample, file: 'field-sheet.csv', entry: { columns: COLUMNS } }));
    expect(first.rows[0]).toMatchObject({
      id: 'H-1',
      lat: 40.948014,
      lon: -91.113579,
      species: 'Quercus alba',
    });
    expect(first.rows[4].lon).toBeNull();
    const whole = await value(survey(desk, { reading: {}, entry: { columns: COLUMNS } }, source, {}));
    expect(whole).toMatchObject({ rows: 6, usable: 5, extent: [-91.178606, 40.948014, -91.107367, 41.0221] });
    expect(whole.unsettled.map((u) => u.name).sort()).toEqual(['Steineiche?', 'Whit oak']);
    const settled = await value(
      survey(
        desk,
        { reading: {}, entry: { columns: COLUMNS, names: { 'Whit oak': 'Quercus alba' } } },
        source,
        {},
      ),
    );
    expect(settled.unsettled.map((u) => u.name)).toEqual(['Steineiche?']);
  });

  it('is not read again for another choice of columns', async () => {
    const desk = createDesk();
    const whole = file('intake/field-sheet.csv');
    let asked = 0;
    const source: Source = {
      ...whole,
      read: (offset, length) => {
        asked++;
        return whole.read(offset, length);
      },
      readAll: () => {
        asked++;
        return whole.readAll();
      },
    };
    await value(inspectSource(desk, source, {}, {}));
    const before = asked;
    await value(survey(desk, { reading: {}, entry: { columns: COLUMNS } }, source, {}));
    expect(asked).toBe(before);
    expect(before).toBeGreaterThan(0);
  });

  it('says what it lacks where no column holds the longitude', async () => {
    const result = await survey(createDesk(), { reading: {}, entry: {} }, file('intake/field-sheet.csv'), {});
    expect(result).toMatchObject({ ok: false, failure: { code: 'content' } });
  });
});

describe('a raster that is looked into', () => {
  it('tells the figures of its band', async () => {
    const found = await value(inspectSource(createDesk(), file('county/hills.tif'), {}, {}));
    // gdalinfo -stats of the same file (GDAL 3.6.2): minimum 220, maximum 361.
    expect(found.figures).toMatchObject({ least: 220, most: 361 });
    expect(found.figures?.bars?.reduce((a, b) => a + b)).toBe(found.figures?.cells);
    expect(found.figures).toMatchObject({ whole: true, classes: null });
  });

  /** Only what figures ask of a raster. */
  const raster = (cells: number[], width: number): Raster =>
    ({
      width,
      height: cells.length / width,
      picture: (_band: number, [, y]: readonly number[], wide: number, high: number) =>
        Promise.resolve({ ok: true, value: Float32Array.from(cells.slice(y * wide, (y + high) * wide)) }),
    }) as unknown as Raster;

  it('counts classes with the largest share first, cells without a value apart', async () => {
    const figures = await value(figuresOf(raster([41, 41, 41, 82, 82, 11, NaN, NaN], 4), 1, true));
    expect(figures?.classes).toEqual([
      { value: 41, share: 0.5 },
      { value: 82, share: 2 / 6 },
      { value: 11, share: 1 / 6 },
    ]);
    expect(figures).toMatchObject({ cells: 6, missing: 0.25, bars: null });
  });

  it('looks at squares of a raster of many cells, and at all of it where none of them holds a value', async () => {
    const asked: number[][] = [];
    const big = (valueAt: (x: number) => number): Raster =>
      ({
        width: 20_000,
        height: 20_000,
        picture: (_band: number, window: readonly number[], wide: number, high: number) => {
          asked.push([...window]);
          const step = (window[2] - window[0]) / wide;
          const row = Array.from({ length: wide }, (_, i) => valueAt(window[0] + (i + 0.5) * step));
          return Promise.resolve({
            ok: true,
            value: Float32Array.from({ length: wide * high }, (_, i) => row[i % wide]),
          });
        },
      }) as unknown as Raster;
    const figures = await value(
      figuresOf(
        big((x) => x),
        1,
        false,
      ),
    );
    expect(asked).toHaveLength(64);
    expect(asked.every(([w, s, e, n]) => e - w === 32 && n - s === 32)).toBe(true);
    expect(figures).toMatchObject({ whole: false, cells: 65_536, missing: 0 });
    // Values run evenly from 0 to 20,000 and the squares stand in eight columns.
    expect(figures?.least).toBeCloseTo(1234.5, 0);
    expect(figures?.most).toBeCloseTo(18_765.5, 0);
    const narrow = await value(
      figuresOf(
        big((x) => (x < 900 ? 5 : NaN)),
        1,
        false,
      ),
    );
    expect(narrow).toMatchObject({ least: 5, most: 5 });
  });

  it('puts every value into a bar, the least and the most into the first and the last', async () => {
    const figures = await value(figuresOf(raster([0, 1, 2, 48], 2), 1, false));
    expect(figures?.bars).toHaveLength(24);
    expect(figures?.bars?.[0]).toBe(2);
    expect(figures?.bars?.[23]).toBe(1);
    const flat = await value(figuresOf(raster([7, 7], 2), 1, false));
    expect(flat?.bars).toEqual([2]);
    expect(await value(figuresOf(raster([NaN, NaN], 2), 1, false))).toBeNull();
  });
});

describe('a file that does not say its system', () => {
  it('brings the box of its coordinates, from which the right system is among the guesses', async () => {
    const bytes = (ending: string) =>
      readFileSync(`tests/fixtures/vectors/shapefiles/zones-no-prj.${ending}`);
    const source = memorySource('zones.shp', bytes('shp'), [
      { name: 'zones.dbf', bytes: bytes('dbf') },
      { name: 'zones.shx', bytes: bytes('shx') },
    ]);
    const result = await inspectSource(createDesk(), source, {}, {});
    if (result.ok || !result.failure.coordinates) throw new Error('it should ask');
    expect([...result.failure.coordinates]).toEqual([700_000, 1_900_000, 704_000, 1_901_000]);
    const guesses = await value(
      systems({ coordinates: result.failure.coordinates, near: [-88, 39, -87, 40] }),
    );
    expect(guesses.map((g) => g.crs)).toContain('EPSG:5070');
  });
});
