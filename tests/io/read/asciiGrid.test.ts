/** Grids of text; those in fixtures are GDAL's (tests/fixtures/rasters/formats/make.py), and compared with it in tests/reference. */
import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sentence } from '../../../src/domain/base/result.ts';
import { Cancelled } from '../../../src/domain/base/work.ts';
import { numberOf } from '../../../src/io/read/rasters/asciiCells.ts';
import { openAsciiGrid } from '../../../src/io/read/rasters/asciiGrid.ts';
import { SLICE } from '../../../src/io/read/rasters/asciiGridIndex.ts';
import { BlockCache } from '../../../src/io/read/rasters/blocks.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Raster } from '../../../src/io/read/rasters/raster.ts';
import type { ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import type { Source } from '../../../src/io/source.ts';

const folder = new URL('../../fixtures/rasters/formats/', import.meta.url);
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const HEAD = 'ncols 3\nnrows 2\nxllcorner 600000\nyllcorner 4200000\ncellsize 10\nNODATA_value -9999\n';
const UTM: ReadOptions = { crs: 'EPSG:32616' };

async function open(text: string | Source, options = UTM): Promise<Raster> {
  const source = typeof text === 'string' ? memorySource('test.asc', bytes(text)) : text;
  const raster = await openAsciiGrid(source, options, new BlockCache());
  if (!raster.ok) throw new Error(sentence(raster.failure));
  return raster.value;
}

async function cells(raster: Raster): Promise<number[]> {
  const n = raster.width * raster.height;
  const values = await raster.sample(
    1,
    Float64Array.from({ length: n }, (_, k) => (k % raster.width) + 0.5),
    Float64Array.from({ length: n }, (_, k) => Math.floor(k / raster.width) + 0.5),
    'nearest',
  );
  if (!values.ok) throw new Error(sentence(values.failure));
  return Array.from(values.value);
}

async function failureOf(text: string, options = UTM) {
  const opened = await openSource(memorySource('test.asc', bytes(text)), options);
  if (!opened.ok) return opened.failure;
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  const { raster } = opened.value.content;
  const values = await raster.picture(1, [0, 0, raster.width, raster.height], raster.width, raster.height);
  if (values.ok) throw new Error('a failure was expected');
  return values.failure;
}

describe('a grid of text', () => {
  it('runs row by row from the north; the origin is the lower left corner, or its cell’s centre', async () => {
    const corner = await open(`${HEAD}1 2 3\n4 -9999 6\n`);
    expect(await cells(corner)).toEqual([1, 2, 3, 4, NaN, 6]);
    expect(corner.transform).toEqual([600000, 10, 0, 4200020, 0, -10]);
    expect(corner.bands[0]).toMatchObject({ dtype: 'Int32', nodata: -9999 });
    const centre = await open(
      `${HEAD.replace('xllcorner 600000', 'xllcenter 600005').replace('yllcorner 4200000', 'yllcenter 4200005')}1 2 3 4 5 6`,
    );
    expect(centre.transform).toEqual(corner.transform);
  });

  it('rows may be broken anywhere, blanks be of any kind', async () => {
    expect(
      await cells(
        await open(`\ufeff${HEAD.replaceAll('\n', '\r\n').toUpperCase()}\t1\r\n2   3 4\n\n5\r\n6 \n\n`),
      ),
    ).toEqual([1, 2, 3, 4, 5, 6]);
  });

  it('numbers keep all digits that are written', async () => {
    const written = ['1.5', '-0.000125', '1e-3', '12345678.12345678', '.5', '7.'];
    const raster = await open(`${HEAD}${written.join(' ')}`);
    expect(await cells(raster)).toEqual(written.map(Number));
    expect(raster.bands[0].dtype).toBe('Float64');
    // Too large for 32 bits.
    expect(await cells(await open(`${HEAD}4294967296 2 3 4 5 6`))).toEqual([4294967296, 2, 3, 4, 5, 6]);
  });

  it('nan is missing, whether or not it is the nodata of the header', async () => {
    expect(await cells(await open(`${HEAD}nan 2 -nan 4 1.#QNAN 6`))).toEqual([NaN, 2, NaN, 4, NaN, 6]);
    expect(await cells(await open(`${HEAD.replace('-9999', 'nan')}NaN 2 3 4 5 -9999`))).toEqual([
      NaN,
      2,
      3,
      4,
      5,
      -9999,
    ]);
  });

  it('without a nodata in the header the format’s own is taken, and said', async () => {
    const raster = await open(`${HEAD.replace('NODATA_value -9999\n', '')}1 -9999 3 4 5 6`);
    expect(await cells(raster)).toEqual([1, NaN, 3, 4, 5, 6]);
    expect(raster.notes.map((n) => n.what).join()).toMatch(/which number stands for no data; -9999/);
  });

  it('decimal commas are read, and said', async () => {
    const raster = await open(`${HEAD.replace('cellsize 10', 'cellsize 12,5')}1,5 2 3,25 4 5 6,75`);
    expect(await cells(raster)).toEqual([1.5, 2, 3.25, 4, 5, 6.75]);
    expect(raster.transform[1]).toBe(12.5);
    expect(raster.notes.map((n) => n.what).join()).toMatch(/decimal commas/);
  });

  it('any number written by JavaScript is read back bit by bit, in 1000 random ones', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (x) => {
        const text = bytes(String(x));
        expect(
          Object.is(numberOf(text, text.length), x === 0 ? 0 : x) ||
            (x === 0 && numberOf(text, text.length) === 0),
        ).toBe(true);
      }),
      { numRuns: 1000, seed: 20261125 },
    );
    for (const word of ['', '-', '.', '1.2.3', '1-2', 'e5', '1e', 'n', '--1', '0x10'])
      expect(numberOf(bytes(word), word.length), word).toBeNull();
  });
});

describe('coordinate systems', () => {
  const grid = bytes(`${HEAD}1 2 3 4 5 6`);
  const withPrj = (prj: string): Source =>
    memorySource('test.asc', grid, [{ name: 'TEST.PRJ', bytes: bytes(prj) }]);

  it('come from the .prj beside it', async () => {
    const prj = readFileSync(new URL('whole.prj', folder), 'utf8');
    const raster = await open(withPrj(prj), {});
    expect(raster.crs).toBe('NAD_1983_Contiguous_USA_Albers');
  });

  it('in the older lines of key words, as GDAL understands them', async () => {
    // osr.SpatialReference().ImportFromESRI(lines) of GDAL 3.6.2 gives +proj=utm +zone=16 +datum=NAD83 +units=m for these lines.
    const utm = await open(
      withPrj(
        'Projection    UTM\nZone          16\nDatum         NAD83\nUnits         METERS\nSpheroid      GRS1980\nParameters\n',
      ),
      {},
    );
    const same = await open(memorySource('test.asc', grid), { crs: 'EPSG:26916' });
    expect(utm.extent.map((x) => x.toFixed(9))).toEqual(same.extent.map((x) => x.toFixed(9)));
    const albers = await open(
      withPrj(
        'Projection ALBERS\nDatum NAD83\nSpheroid GRS80\nUnits METERS\nParameters\n29 30  0.0 /* 1st standard parallel\n45 30  0.0 /* 2nd\n-96  0  0.0 /* central meridian\n23  0  0.0 /* latitude of origin\n0.0 /* false easting (meters)\n0.0\n',
      ),
      {},
    );
    const conus = await open(memorySource('test.asc', grid), { crs: 'EPSG:5070' });
    albers.extent.forEach((x, i) => expect(x).toBeCloseTo(conus.extent[i], 9));
  });

  it('in words that are not understood: says which', async () => {
    const opened = await openAsciiGrid(withPrj('Projection    POLYCONIC\nDatum NAD83\n'));
    expect(opened).toMatchObject({ ok: false, failure: { code: 'crs', where: 'test.prj' } });
    if (!opened.ok) expect(opened.failure.what).toContain('POLYCONIC');
  });

  it('missing: asks before the cells are read, with the box as it stands in the file', async () => {
    let last = 0;
    const source = memorySource('test.asc', bytes(HEAD + '1 2 3 4 5 6'.padEnd(200_000)));
    const opened = await openAsciiGrid({
      ...source,
      read(offset, length) {
        last = Math.max(last, offset);
        return source.read(offset, length);
      },
    });
    expect(opened).toMatchObject({
      ok: false,
      failure: { code: 'crs', coordinates: [600000, 4200000, 600030, 4200020] },
    });
    expect(last).toBe(0);
  });
});

describe('a large file', () => {
  const width = 1000;
  const height = 1100;
  const value = (k: number): number => (k * 7919) % 100_003;
  const rows = Array.from({ length: height }, (_, r) =>
    Array.from({ length: width }, (_c, c) => value(r * width + c)).join(' '),
  );
  const large = memorySource(
    'large.asc',
    bytes(
      `ncols ${width}\nnrows ${height}\nxllcorner 600000\nyllcorner 4200000\ncellsize 10\n${rows.join('\n')}\n`,
    ),
  );
  const counted = (): { source: Source; reads: Array<[number, number]> } => {
    const reads: Array<[number, number]> = [];
    const read: Source['read'] = (offset, length) => {
      reads.push([offset, length]);
      return large.read(offset, length);
    };
    return { source: { ...large, read, readAll: () => Promise.reject(new Error('never whole')) }, reads };
  };

  it('is gone through in slices, with progress, and a place is read from a small part of it', async () => {
    const { source, reads } = counted();
    const done: number[] = [];
    const raster = await open(source, { ...UTM, work: { progress: (n) => void done.push(n) } });
    expect(Math.max(...reads.map(([, n]) => n))).toBeLessThanOrEqual(SLICE);
    expect(done.length).toBeGreaterThan(2);
    expect(done.at(-1)).toBe(large.size);
    reads.length = 0;
    const values = await raster.sample(1, Float64Array.of(432.5), Float64Array.of(611.5), 'nearest');
    expect(values.ok && values.value[0]).toBe(value(611 * width + 432));
    expect(reads.reduce((sum, [, n]) => sum + n, 0)).toBeLessThan((large.size ?? 0) / 5);
    // 65,536 cells of whole numbers, in whole rows.
    expect(raster.heldBytes()).toBe(66 * width * 4);
  });

  it('gives every cell, also those that slices and blocks cut through', async () => {
    const all = await cells(await open(large));
    expect(all.every((v, k) => v === value(k))).toBe(true);
  });

  it('hears a cancel', async () => {
    const pause = () => Promise.reject(new Cancelled());
    await expect(openAsciiGrid(large, { ...UTM, work: { pause } })).rejects.toThrow(Cancelled);
  });
});

describe('grids that are not whole or not grids, each with its sentence', () => {
  it.each([
    ['a cell too few', `${HEAD}1 2 3 4 500`, /holds 5 of the 6 cells that its header says \(3 x 2\)/],
    ['a cell too many', `${HEAD}1 2 3 4 5 6 7`, /more cells than the 6 that its header says/],
    ['a word among the cells', `${HEAD}1 2 3 4 oak 6`, /row 2, column 2 is not a number/],
    ['a number that is none', `${HEAD}1 2 3 4 5-5 6`, /row 2, column 2 is not a number \("5-5"\)/],
    [
      'a header of a billion rows',
      HEAD.replace('nrows 2', 'nrows 1000000000') + '1 2 3',
      /says 3 x 1000000000 cells, and \d+ bytes cannot hold them/,
    ],
    [
      'a header beyond all numbers',
      HEAD.replace('nrows 2', 'nrows 1e300').replace('ncols 3', 'ncols 1e300') + '1 2 3',
      /cannot hold them/,
    ],
    ['half a column', HEAD.replace('ncols 3', 'ncols 2.5') + '1 2 3', /ncols 2.5, not a whole number/],
    ['no columns', HEAD.replace('ncols 3\n', '') + '1 2 3', /has no ncols/],
    ['columns twice', 'ncols 4\n' + HEAD + '1 2 3', /ncols twice/],
    ['cells of no size', HEAD.replace('cellsize 10', 'cellsize 0') + '1 2 3 4 5 6', /cell size/],
    [
      'an origin that is no number',
      HEAD.replace('xllcorner 600000', 'xllcorner west') + '1 2 3 4 5 6',
      /origin that is not a number/,
    ],
    ['a header only', HEAD, /ends with its header/],
    ['commas and points', `${HEAD}1.5 2,5 3 4 5 6`, /decimal commas and decimal points/],
    ['binary zeros', `${HEAD}1 2 3 4 5 \0`, /row 2, column 3 is not a number/],
    [
      'one word of a million digits',
      `${HEAD}1 2 3 4 5 ${'1'.repeat(1e6)}`,
      /row 2, column 3 is not a number/,
    ],
  ])('%s', async (_name, text, what) => {
    const failure = await failureOf(text);
    expect(failure).toMatchObject({ code: 'format', where: 'test.asc' });
    expect(failure.what).toMatch(what);
    expect(failure.todo).not.toBe('');
  });
});
