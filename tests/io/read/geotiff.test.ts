import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { Cancelled } from '../../../src/domain/base/work.ts';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { BlockCache } from '../../../src/io/read/rasters/blocks.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { openGeotiff } from '../../../src/io/read/rasters/geotiff.ts';
import type { Raster } from '../../../src/io/read/rasters/raster.ts';
import type { ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import type { Source } from '../../../src/io/source.ts';
import { tiff, type TiffOptions } from './tiff.ts';

const folder = new URL('../../fixtures/rasters/', import.meta.url);
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as {
  'int16-scaled.tif': { overview: { stored: number[] } };
};
const fixture = (file: string): Uint8Array => readFileSync(new URL(file, folder));

async function open(bytes: Uint8Array, options: ReadOptions = {}, cache = new BlockCache()): Promise<Raster> {
  const raster = await openGeotiff(memorySource('test.tif', bytes), options, cache);
  if (!raster.ok) throw new Error(`${raster.failure.what} ${raster.failure.todo}`);
  return raster.value;
}

async function at(raster: Raster, points: number[][], method: 'nearest' | 'bilinear' = 'bilinear', band = 1) {
  const values = await raster.sample(
    band,
    Float64Array.from(points, (p) => p[0]),
    Float64Array.from(points, (p) => p[1]),
    method,
  );
  if (!values.ok) throw new Error(values.failure.what);
  return Array.from(values.value);
}

const three: TiffOptions = {
  width: 3,
  height: 3,
  values: [10, 20, 30, 40, -99, 60, 70, 80, 90],
  nodata: '-99',
};

describe('value at a position', () => {
  it('bilinear among the four nearest centres', async () => {
    const raster = await open(tiff({ ...three, nodata: '-1' }));
    // Half way between centres (0,0) and (1,0): 15; a quarter along and a quarter down from (0,0), by hand:
    // 10 * 9/16 + 20 * 3/16 + 40 * 3/16 + (-99) * 1/16 = 10.6875.
    expect(
      await at(raster, [
        [0.5, 0.5],
        [1, 0.5],
        [0.75, 0.75],
      ]),
    ).toEqual([10, 15, 10.6875]);
  });

  it('a missing cell gives up its weight to the others if they hold half of it', async () => {
    const raster = await open(tiff(three));
    // Towards the missing middle cell: at (0.75, 0.75) it has 1/16; (10 * 9 + 20 * 3 + 40 * 3) / 15 = 18.
    // At (1, 1) it has a quarter: (10 + 20 + 40) / 3. At (1.2, 1.2) it has 0.49: missing counts less than half, so
    // (10 * 0.09 + 20 * 0.21 + 40 * 0.21) / 0.51. At (1.25, 1.25) it has 9/16: nothing. In its midst: nothing.
    const [a, b, c, d, e] = await at(raster, [
      [0.75, 0.75],
      [1, 1],
      [1.2, 1.2],
      [1.25, 1.25],
      [1.5, 1.5],
    ]);
    expect(a).toBeCloseTo(18, 10);
    expect(b).toBeCloseTo(70 / 3, 10);
    expect(c).toBeCloseTo(13.5 / 0.51, 10);
    expect([d, e]).toEqual([NaN, NaN]);
    expect(
      await at(
        raster,
        [
          [1.01, 1.99],
          [0.99, 1],
        ],
        'nearest',
      ),
    ).toEqual([NaN, 40]);
  });

  it('outside is missing, never the nearest edge; within half a cell of the edge the inner cells count', async () => {
    const raster = await open(tiff(three));
    expect(
      await at(raster, [
        [-0.001, 1],
        [3, 1],
        [1, 3],
        [NaN, 1],
        [1, Infinity],
      ]),
    ).toEqual([NaN, NaN, NaN, NaN, NaN]);
    expect(
      await at(raster, [
        [0, 0.5],
        [0.25, 0.5],
        [0.5, 0.1],
      ]),
    ).toEqual([10, 10, 10]);
    // In the very corner the one cell that exists has a quarter of the weight.
    expect(await at(raster, [[0, 0]])).toEqual([NaN]);
  });

  it('scale and offset of the band are applied, after nodata is looked for in the stored number', async () => {
    const metadata =
      '<GDALMetadata><Item name="SCALE" sample="0" role="scale">0.1</Item><Item name="OFFSET" sample="0" role="offset">-5</Item>' +
      '<Item name="DESCRIPTION" sample="0" role="description">rain &amp; snow</Item></GDALMetadata>';
    const raster = await open(
      tiff({ width: 2, height: 1, values: [100, -5], type: 'Int16', nodata: '-5', metadata }),
    );
    expect(
      await at(
        raster,
        [
          [0.5, 0.5],
          [1.5, 0.5],
        ],
        'nearest',
      ),
    ).toEqual([5, NaN]);
    expect(raster.bands[0]).toEqual({
      nodata: -5,
      scale: 0.1,
      offset: -5,
      dtype: 'Int16',
      description: 'rain & snow',
    });
  });

  it('nodata is compared as a cell of the file can hold it', async () => {
    const lowest = '-3.4028234663852886e+38';
    const float = await open(tiff({ width: 2, height: 1, values: [1, Number(lowest)], nodata: lowest }));
    expect(await at(float, [[1.5, 0.5]], 'nearest')).toEqual([NaN]);
    const rounded = await open(tiff({ width: 2, height: 1, values: [1, 0.1], nodata: '0.1' }));
    expect(await at(rounded, [[1.5, 0.5]], 'nearest')).toEqual([NaN]);
    const nan = await open(tiff({ width: 2, height: 1, values: [1, NaN], nodata: 'nan' }));
    expect(
      await at(
        nan,
        [
          [0.5, 0.5],
          [1.5, 0.5],
        ],
        'nearest',
      ),
    ).toEqual([1, NaN]);
    // A number that no byte can be hides none.
    const byte = await open(tiff({ width: 2, height: 1, values: [0, 255], type: 'UInt8', nodata: '-9999' }));
    expect(
      await at(
        byte,
        [
          [0.5, 0.5],
          [1.5, 0.5],
        ],
        'nearest',
      ),
    ).toEqual([0, 255]);
  });

  it('a wrong band is a bug of the caller', async () => {
    const raster = await open(tiff(three));
    await expect(async () =>
      raster.sample(2, new Float64Array(1), new Float64Array(1), 'nearest'),
    ).rejects.toThrow('band');
  });
});

describe('blocks', () => {
  const size = 100;
  const random = rng(7);
  const values = Float64Array.from({ length: size * size }, () => Math.floor(random() * 2000) - 1000);
  const points = Array.from({ length: 500 }, () => [random() * (size + 4) - 2, random() * (size + 4) - 2]);
  const options: TiffOptions = { width: size, height: size, values, type: 'Int16' };

  it('tiles, strips, and a cache that holds a few blocks only give the same values', async () => {
    const want = await at(await open(tiff(options)), points);
    expect(want.filter(Number.isNaN).length).toBeGreaterThan(10);
    for (const tile of [16, 32, 112])
      expect(await at(await open(tiff({ ...options, tile })), points)).toEqual(want);
    // Room for eight tiles of 16 x 16: positions are taken in runs, and most blocks are decoded again.
    const cache = new BlockCache(16 * 16 * 2 * 8);
    expect(await at(await open(tiff({ ...options, tile: 16 }), {}, cache), points)).toEqual(want);
    expect(cache.bytes).toBeLessThanOrEqual(cache.budget);
  });

  it('a file of one strip is not read whole', async () => {
    // Wide enough for blocks of two rows; strips of 7, 50 and all 50 rows (and beyond).
    const wide = { width: 30_000, height: 50, type: 'Int16' as const };
    const cells = Int16Array.from({ length: wide.width * wide.height }, (_, k) => (k * 7919) % 30_011);
    const places = Array.from({ length: 300 }, () => [random() * wide.width, random() * wide.height]);
    const want = places.map(([c, r]) => cells[Math.floor(r) * wide.width + Math.floor(c)]);
    for (const strip of [7, 50, 4_000_000_000]) {
      const bytes = tiff({ ...wide, values: cells, strip: Math.min(strip, 50) });
      const view = new DataView(bytes.buffer);
      for (let at = 10; ; at += 12)
        if (view.getUint16(at, true) === 278) {
          view.setUint32(at + 8, strip, true);
          break;
        }
      const raster = await open(bytes);
      expect(await at(raster, places.slice(0, 1), 'nearest')).toEqual(want.slice(0, 1));
      expect(raster.heldBytes()).toBe(2 * wide.width * 2);
      expect(await at(raster, places, 'nearest'), `strips of ${strip}`).toEqual(want);
    }
  });

  it('cells are held as the file stores them, and let go', async () => {
    const raster = await open(tiff({ ...options, tile: 16 }));
    expect(raster.heldBytes()).toBe(0);
    await at(raster, [[8, 8]]);
    expect(raster.heldBytes()).toBe(16 * 16 * 2);
    await at(raster, [[16, 16]]);
    expect(raster.heldBytes()).toBe(4 * 16 * 16 * 2);
    raster.trim();
    expect(raster.heldBytes()).toBe(0);
  });

  it('a block is fetched once, also when several ask for it at the same time', async () => {
    const bytes = tiff({ ...options, tile: 16 });
    const source = memorySource('test.tif', bytes);
    let reads = 0;
    const counted: Source = {
      ...source,
      read: (offset, length) => {
        if (offset >= 65_536 || length === 512) reads++;
        return source.read(offset, length);
      },
    };
    const opened = await openGeotiff(counted, {}, new BlockCache());
    if (!opened.ok) throw new Error(opened.failure.what);
    await Promise.all(Array.from({ length: 5 }, () => at(opened.value, [[8, 8]])));
    const first = reads;
    await at(opened.value, [[9, 9]]);
    expect(reads).toBe(first);
  });

  it('bands that lie together are decoded together', async () => {
    const raster = await open(fixture('byte-chunky.tif'));
    await at(raster, [[2, 2]], 'nearest', 3);
    expect(raster.heldBytes()).toBe(4 * 32 * 16);
    const apart = await open(fixture('int32-planar.tif'));
    await at(apart, [[2, 2]], 'nearest', 3);
    expect(apart.heldBytes()).toBe(16 * 16 * 4);
  });

  it('hears a cancel between blocks', async () => {
    const raster = await open(tiff({ ...options, tile: 16 }));
    const pause = () => Promise.reject(new Cancelled());
    const col = Float64Array.from(points, (p) => p[0]);
    const row = Float64Array.from(points, (p) => p[1]);
    await expect(raster.sample(1, col, row, 'nearest', { pause })).rejects.toThrow(Cancelled);
  });
});

describe('window of nine cells', () => {
  it('is row-major around the cell that holds the position, missing outside', async () => {
    const raster = await open(tiff(three));
    const windows = await raster.window3(1, Float64Array.of(1.9, 0, 5), Float64Array.of(1.1, 2.5, 1));
    if (!windows.ok) throw new Error(windows.failure.what);
    const n = NaN;
    expect(Array.from(windows.value)).toEqual(
      [10, 20, 30, 40, n, 60, 70, 80, 90].concat([n, 40, n, n, 70, 80, n, n, n], [n, n, n, n, n, n, n, n, n]),
    );
  });
});

describe('cells within a distance', () => {
  const size = 90;
  const random = rng(11);
  const values = Uint8Array.from({ length: size * size }, () => Math.floor(random() * 5));
  const classOf = new Uint8Array(256).fill(255);
  classOf.set([0, 1, 1, 255, 2]);
  const places = {
    'metres, tiles': { tile: 16 },
    'degrees far north, long cells': {
      place: [-90, 62, 0.002, 0.0007] as const,
      keys: { 1024: 2, 1025: 1, 2048: 4326 },
    },
  };
  for (const [name, options] of Object.entries(places))
    it(`${name}: as counted one by one on the ellipsoid`, async () => {
      const raster = await open(
        tiff({ width: size, height: size, values, type: 'UInt8', nodata: '4', ...options }),
      );
      const metres = 12 * raster.cellMetres;
      const col = Float64Array.of(45.3, 3.2, 89.9, 60);
      const row = Float64Array.of(44.1, 70.5, 0.1, 30);
      const counts = await raster.countWithin(1, col, row, metres, classOf, 3);
      if (!counts.ok) throw new Error(counts.failure.what);
      const cells = Array.from(values, (_, k) => k);
      const centre = raster.toPlace(
        Float64Array.from(cells, (k) => (k % size) + 0.5),
        Float64Array.from(cells, (k) => Math.floor(k / size) + 0.5),
      );
      const place = raster.toPlace(col, row);
      for (let i = 0; i < col.length; i++) {
        const want = [0, 0, 0];
        let onTheLine = 0;
        for (const k of cells) {
          const d = geodesicMetres(place.lon[i], place.lat[i], centre.lon[k], centre.lat[k]);
          if (Math.abs(d / metres - 1) < 1e-3) onTheLine++;
          if (d <= metres && values[k] !== 4 && values[k] !== 3) want[classOf[values[k]]]++;
        }
        const got = Array.from(counts.value.subarray(3 * i, 3 * i + 3));
        // Class 2 is code 4, which is nodata here: never counted.
        expect(got[2]).toBe(0);
        const off = Math.abs(got[0] - want[0]) + Math.abs(got[1] - want[1]);
        expect(off).toBeLessThanOrEqual(onTheLine);
        expect(got[0] + got[1]).toBeGreaterThan(20);
      }
    });
});

describe('picture', () => {
  it('takes cells from the overview that is still fine enough, missing outside', async () => {
    const raster = await open(fixture('int16-scaled.tif'));
    const full = await raster.picture(1, [0, 0, 45, 37], 45, 37);
    const half = await raster.picture(1, [0, 0, 45, 37], 23, 19);
    const around = await raster.picture(1, [-45, 0, 90, 37], 3, 1);
    if (!full.ok || !half.ok || !around.ok) throw new Error('no picture');
    const cells = Array.from({ length: 45 * 37 }, (_, k) => [(k % 45) + 0.5, Math.floor(k / 45) + 0.5]);
    expect(Array.from(full.value)).toEqual((await at(raster, cells, 'nearest')).map(Math.fround));
    // GDAL's reading of the overview (tests/fixtures/rasters/make.mjs).
    const { overview } = expected['int16-scaled.tif'];
    expect(Array.from(half.value)).toEqual(
      overview.stored.map((v) => (v === -9999 ? NaN : Math.fround(v * 0.1 + 5))),
    );
    expect(around.value[0]).toBeNaN();
    expect(around.value[1]).toBeGreaterThan(0);
    expect(around.value[2]).toBeNaN();
  });

  it('reads few bytes of a large area', async () => {
    const raster = await open(fixture('int16-scaled.tif'));
    await raster.picture(1, [0, 0, 45, 37], 11, 9);
    expect(raster.heldBytes()).toBeLessThanOrEqual(12 * 10 * 2);
  });
});

describe('where a raster lies', () => {
  it('toPixel and toPlace undo each other to a millionth of a cell, also on a turned grid', async () => {
    for (const file of ['float64-rotated.tif', 'int16-feet.tif', 'float32-degrees.tif', 'uint16-point.tif']) {
      const raster = await open(fixture(file));
      const col = Float64Array.of(0, 3.25, 19.5, -4);
      const row = Float64Array.of(0, 9.75, 2, 21);
      const { lon, lat } = raster.toPlace(col, row);
      const back = raster.toPixel(lon, lat);
      for (let i = 0; i < 4; i++) {
        expect(Math.abs(back.col[i] - col[i])).toBeLessThan(1e-6);
        expect(Math.abs(back.row[i] - row[i])).toBeLessThan(1e-6);
      }
    }
  });

  it('cell size in metres', async () => {
    // Rotated: hypot(28.19, 10.26) = 30.0 on the grid of a UTM zone near its middle (scale 0.9996).
    expect((await open(fixture('float64-rotated.tif'))).cellMetres).toBeCloseTo(30 / 0.9996, 2);
    // 330 US feet.
    expect((await open(fixture('int16-feet.tif'))).cellMetres).toBeCloseTo((330 * 1200) / 3937, 1);
  });

  it('the extent holds every cell', async () => {
    const raster = await open(fixture('float64-rotated.tif'));
    const n = 26 * 24;
    const { lon, lat } = raster.toPlace(
      Float64Array.from({ length: n }, (_, k) => (k % 26) + 0.5),
      Float64Array.from({ length: n }, (_, k) => Math.floor(k / 26) + 0.5),
    );
    const [west, south, east, north] = raster.extent;
    for (let i = 0; i < n; i++)
      expect(lon[i] > west && lon[i] < east && lat[i] > south && lat[i] < north).toBe(true);
  });

  it('a coordinate system given by the user replaces the file’s', async () => {
    const bytes = fixture('refused-no-crs.tif');
    expect(await openGeotiff(memorySource('a.tif', bytes))).toMatchObject({
      ok: false,
      failure: { code: 'crs' },
    });
    expect((await open(bytes, { crs: 'EPSG:32616' })).crs).toBe('EPSG:32616');
  });

  it('degrees that cannot be degrees are refused, metres that look like degrees are doubted', async () => {
    const wrong = await openGeotiff(memorySource('a.tif', tiff(three)), { crs: 'EPSG:4326' });
    expect(wrong).toMatchObject({ ok: false, failure: { code: 'crs' } });
    if (!wrong.ok) expect(wrong.failure.what).toMatch(/not degrees/);
    const doubted = await open(tiff({ ...three, place: [-90, 40, 0.1, 0.1] }));
    expect(doubted.notes.map((n) => n.what).join()).toMatch(/look like degrees/);
  });
});

describe('a file of several rasters', () => {
  const bytes = fixture('formats/pages.tif');

  it('gives the first, and says what else it holds', async () => {
    const opened = await openSource(memorySource('pages.tif', bytes));
    expect(opened).toMatchObject({
      ok: true,
      value: {
        count: 1,
        crs: 'EPSG:32616',
        part: 'page 1',
        parts: [
          { name: 'page 1', kind: 'raster', count: 1 },
          { name: 'page 2', kind: 'raster', count: 2 },
        ],
      },
    });
    // Overviews and masks are no pages.
    for (const file of ['int16-scaled.tif', 'byte-mask.tif']) {
      const one = await openSource(memorySource(file, fixture(file)));
      expect(one.ok && one.value.parts).toBeUndefined();
    }
  });

  it('gives the one that is asked for, with a place of its own', async () => {
    const second = await openSource(memorySource('pages.tif', bytes), { part: 'page 2' });
    expect(second).toMatchObject({ ok: true, value: { count: 2, crs: 'EPSG:26916', part: 'page 2' } });
    const third = await openSource(memorySource('pages.tif', bytes), { part: 'page 3' });
    expect(third).toMatchObject({ ok: false, failure: { code: 'content', where: 'pages.tif' } });
    if (!third.ok) expect(third.failure.todo).toContain('page 1, page 2');
  });
});

describe('files that are not read', () => {
  for (const [file, code, word] of [
    ['refused-lzma.tif', 'format', 'LZMA'],
    ['refused-complex.tif', 'format', 'complex'],
    ['refused-nowhere.tif', 'crs', 'where its cells lie'],
    ['refused-no-crs.tif', 'crs', 'does not say its coordinate system'],
    ['formats/refused-bits24.tif', 'format', 'UInt 24-bit'],
    ['formats/refused-uint32-lerc.tif', 'format', 'unsigned 32-bit numbers packed with LERC'],
    // Node has no pictures; a browser unpacks it.
    ['formats/refused-webp.tif', 'format', 'WebP'],
  ])
    it(file, async () => {
      const opened = await openSource(memorySource(file, fixture(file)));
      // The way of packing is met when the first block is unpacked.
      const failure =
        opened.ok && opened.value.content.kind === 'raster'
          ? await opened.value.content.raster.sample(1, Float64Array.of(1), Float64Array.of(1), 'nearest')
          : opened;
      expect(failure).toMatchObject({ ok: false, failure: { code, where: file } });
      if (!failure.ok) expect(failure.failure.what).toContain(word);
    });
});
