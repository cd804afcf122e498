/** What is read back comes through this project's own reader and the geotiff library; GDAL's reading is in tests/reference/written-geotiff.test.ts. */
import { fromArrayBuffer, type GeoTIFFImage } from 'geotiff';
import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../../src/domain/base/work.ts';
import { crsFrom } from '../../../src/io/crs/crs.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Raster } from '../../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { openGeotiff } from '../../../src/io/write/geotiff.ts';
import { block, geotiffLayout } from '../../../src/io/write/geotiffLayout.ts';
import { ABOUT, cellsOf, joined, SURFACES, written, type SurfaceCase } from './surfaces.ts';

async function open(bytes: Uint8Array): Promise<Raster> {
  const opened = await openSource(memorySource('surface.tif', bytes));
  if (!opened.ok) throw new Error(`${opened.failure.what} ${opened.failure.todo}`);
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  return opened.value.content.raster;
}
const system = async (text: string) => {
  const crs = await crsFrom(text, 'test');
  if (!crs.ok) throw new Error(crs.failure.what);
  return crs.value;
};
const images = async (bytes: Uint8Array): Promise<GeoTIFFImage[]> => {
  const tiff = await fromArrayBuffer(bytes.slice().buffer);
  return Promise.all(Array.from({ length: await tiff.getImageCount() }, (_, i) => tiff.getImage(i)));
};
const valuesOf = async (image: GeoTIFFImage): Promise<Float32Array> =>
  ((await image.readRasters()) as unknown as Float32Array[])[0];

/** Row y of the level below: the mean of those of its four cells that have a value. */
function halfByHand(cells: Float32Array, width: number, height: number): Float32Array {
  const w = Math.ceil(width / 2);
  return Float32Array.from({ length: w * Math.ceil(height / 2) }, (_, i) => {
    const [x, y] = [2 * (i % w), 2 * Math.floor(i / w)];
    const four = [
      [x, y],
      [x + 1, y],
      [x, y + 1],
      [x + 1, y + 1],
    ]
      .filter(([c, r]) => c < width && r < height)
      .map(([c, r]) => cells[r * width + c])
      .filter((v) => !Number.isNaN(v));
    return four.reduce((a, b) => a + b, 0) / four.length;
  });
}

describe.each(SURFACES.map((s) => [s.name, s] as const))('%s', (_, surface) => {
  it('reads back cell for cell, on the same ground', async () => {
    const bytes = await written(surface, 7);
    const raster = await open(bytes);
    expect([raster.width, raster.height]).toEqual([surface.width, surface.height]);
    raster.transform.forEach((x, i) => expect(x).toBeCloseTo(surface.transform[i], 9));
    expect(raster.bands).toMatchObject([{ dtype: 'Float32', description: 'match', nodata: null }]);
    const n = surface.width * surface.height;
    const col = Float64Array.from({ length: n }, (_, i) => (i % surface.width) + 0.5);
    const row = Float64Array.from({ length: n }, (_, i) => Math.floor(i / surface.width) + 0.5);
    const values = await raster.sample(1, col, row, 'nearest');
    if (!values.ok) throw new Error(values.failure.what);
    const cells = cellsOf(surface);
    for (let i = 0; i < n; i++)
      if (!Object.is(values.value[i], cells[i]))
        throw new Error(`cell ${i}: ${values.value[i]}, not ${cells[i]}`);
    const { lon, lat } = raster.toPlace(col, row);
    const [a, b, c, d, e, f] = surface.transform;
    const true_ = (await system(surface.crs)).inverse(
      col.map((x, i) => a + b * x + c * row[i]),
      col.map((x, i) => d + e * x + f * row[i]),
    );
    for (let i = 0; i < n; i += 101) {
      expect(lon[i]).toBeCloseTo(true_.lon[i], 8);
      expect(lat[i]).toBeCloseTo(true_.lat[i], 8);
    }
  });

  it('has overviews of halves down to one tile, each cell the mean of those with a value of its four', async () => {
    const all = await images(await written(surface));
    let { width, height } = surface;
    let cells = cellsOf(surface);
    for (const image of all) {
      expect([image.getWidth(), image.getHeight()]).toEqual([width, height]);
      const got = await valuesOf(image);
      expect(got.length).toBe(cells.length);
      for (let i = 0; i < got.length; i++)
        if (!(Math.abs(got[i] - cells[i]) <= 1e-6 || (Number.isNaN(got[i]) && Number.isNaN(cells[i]))))
          throw new Error(`cell ${i} of ${width} x ${height}: ${got[i]}, not ${cells[i]}`);
      cells = halfByHand(cells, width, height);
      width = Math.ceil(width / 2);
      height = Math.ceil(height / 2);
    }
    const last = all[all.length - 1];
    expect(Math.max(last.getWidth(), last.getHeight())).toBeLessThanOrEqual(256);
    if (all.length > 1)
      expect(Math.max(all[all.length - 2].getWidth(), all[all.length - 2].getHeight())).toBeGreaterThan(256);
  });
});

const several = SURFACES[2];

it('the rows may come one by one, some at a time or all at once', async () => {
  const whole = await written(several);
  for (const rows of [1, 13, 256, 300]) expect(Buffer.compare(await written(several, rows), whole)).toBe(0);
});

it('rows that are not whole, too many of them or too few are mistakes of the caller', async () => {
  const crs = await system('EPSG:5070');
  const writer = openGeotiff({ width: 4, height: 3, transform: [0, 1, 0, 0, 0, -1], crs }, ABOUT);
  await expect(writer.rows(new Float32Array(6))).rejects.toThrow(/6 cells/);
  await writer.rows(new Float32Array(8));
  await expect(writer.end()).rejects.toThrow(/2 of 3 rows/);
  await expect(writer.rows(new Float32Array(8))).rejects.toThrow(/within 3/);
});

it('stops where the work is stopped', async () => {
  const crs = await system('EPSG:5070');
  const work = { pause: () => Promise.reject(new Cancelled()) };
  const writer = openGeotiff({ width: 300, height: 600, transform: [0, 1, 0, 0, 0, -1], crs }, ABOUT, work);
  await expect(writer.rows(new Float32Array(300 * 600))).rejects.toThrow(Cancelled);
});

describe('layout', () => {
  interface Directory {
    readonly at: number;
    readonly tags: Map<number, number>;
    readonly offsets: number[];
    readonly counts: number[];
    /** First and last byte of values that stand outside their entries. */
    readonly far: number[];
  }
  function directories(bytes: Uint8Array): Directory[] {
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    const list: Directory[] = [];
    for (let at = view.getUint32(4, true); at > 0;) {
      const n = view.getUint16(at, true);
      const tags = new Map<number, number>();
      const far: number[] = [];
      const lists = new Map<number, number[]>();
      for (let k = 0; k < n; k++) {
        const entry = at + 2 + 12 * k;
        const [tag, type] = [view.getUint16(entry, true), view.getUint16(entry + 2, true)];
        const count = view.getUint32(entry + 4, true);
        const size = count * ({ 2: 1, 3: 2, 4: 4, 12: 8 }[type] ?? NaN);
        const where = size > 4 ? view.getUint32(entry + 8, true) : entry + 8;
        if (size > 4) far.push(where, where + size);
        tags.set(tag, where);
        if (type === 4)
          lists.set(
            tag,
            Array.from({ length: count }, (_, i) => view.getUint32(where + 4 * i, true)),
          );
      }
      list.push({ at, tags, far, offsets: lists.get(324) ?? [], counts: lists.get(325) ?? [] });
      at = view.getUint32(at + 2 + 12 * n, true);
    }
    return list;
  }

  it('all directories come first, then the tiles of the smallest overview, those of the image last', async () => {
    const bytes = await written(several);
    const list = directories(bytes);
    expect(list.length).toBe(3);
    const data = list.map((d) => [
      Math.min(...d.offsets),
      Math.max(...d.offsets.map((o, t) => o + d.counts[t])),
    ]);
    expect(list.map((d) => d.at)).toEqual(list.map((d) => d.at).sort((a, b) => a - b));
    expect(Math.max(...list.flatMap((d) => [d.at, ...d.far]))).toBeLessThan(data[2][0]);
    expect(data[2][1]).toBeLessThan(data[1][0]);
    expect(data[1][1]).toBeLessThan(data[0][0]);
    for (const { tags } of list) expect([...tags.keys()]).toEqual([...tags.keys()].sort((a, b) => a - b));
  });

  it('every tile has its size before it and its last four bytes behind it, and tiles run row by row', async () => {
    const bytes = await written(several);
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    for (const { offsets, counts } of directories(bytes)) {
      expect(offsets).toEqual([...offsets].sort((a, b) => a - b));
      offsets.forEach((o, t) => {
        expect(view.getUint32(o - 4, true)).toBe(counts[t]);
        expect(view.getUint32(o + counts[t], true)).toBe(view.getUint32(o + counts[t] - 4, true));
      });
    }
  });

  it('the head tells its own length and the layout', async () => {
    const head = new TextDecoder('latin1').decode((await written(several)).subarray(8, 400));
    const size = Number(/^GDAL_STRUCTURAL_METADATA_SIZE=(\d{6}) bytes\n/.exec(head)?.[1]);
    expect(head.slice(43, 43 + size)).toMatch(
      /^LAYOUT=IFDS_BEFORE_DATA\n[^]*KNOWN_INCOMPATIBLE_EDITION=NO\n $/,
    );
  });

  it('a file of more than 4 GiB becomes a BigTIFF, which reads the same', async () => {
    // The limit is lowered: the offsets are wide whatever stands in them.
    const cells = Float32Array.from({ length: 256 * 256 }, (_, i) => i / 7);
    const packed = block(new Uint8Array(cells.buffer));
    const numbers = (tag: number, type: 'short' | 'long', values: number[]) => ({ tag, type, values });
    const image = (overview: boolean) => ({
      tags: [
        numbers(254, 'long', [overview ? 1 : 0]),
        numbers(256, 'long', [256]),
        numbers(257, 'long', [256]),
        numbers(258, 'short', [32]),
        numbers(259, 'short', [1]),
        numbers(262, 'short', [1]),
        numbers(277, 'short', [1]),
        numbers(322, 'short', [256]),
        numbers(323, 'short', [256]),
        numbers(339, 'short', [3]),
        { tag: 270, type: 'ascii' as const, values: 'of more than eight bytes' },
      ],
      blocks: [packed],
    });
    const bytes = joined(geotiffLayout([image(false), image(true)], 1000));
    expect([...bytes.subarray(0, 8)]).toEqual([0x49, 0x49, 43, 0, 8, 0, 0, 0]);
    const all = await images(bytes);
    expect(all.length).toBe(2);
    for (const i of all) expect(await valuesOf(i)).toEqual(cells);
  });
});

describe('what is said in the file', () => {
  const metadata = async (surface: SurfaceCase): Promise<string> => {
    const [image] = await images(await written(surface));
    return String(await image.fileDirectory.loadValue('GDAL_METADATA'));
  };

  it('title and notice describe it; texts that XML cannot hold are escaped, twice as GDAL has it', async () => {
    const [image] = await images(await written(SURFACES[0]));
    const text = String(await image.fileDirectory.loadValue('ImageDescription'));
    expect(text.replace(/\0$/, '')).toBe(`${ABOUT.title}\n${ABOUT.notice}`);
    expect(await metadata(SURFACES[0])).toContain(
      '<Item name="site">Otter &amp;amp; Sons &amp;lt;south field&amp;gt;, 39.1 °N</Item>',
    );
  });

  it.each([
    '+proj=moll +lon_0=-90 +ellps=WGS84 +units=m +no_defs',
    '+proj=lcc +lat_1=44 +lat_2=46 +lat_0=43 +lon_0=-84 +k_0=1.0000382 +datum=NAD83 +units=m +no_defs',
    '+proj=longlat +ellps=intl +pm=-17.67 +no_defs',
  ])('%s, for which the keys have no words, is told beside them', async (crs) => {
    const text = await metadata({ ...SURFACES[0], crs });
    expect(text).toMatch(/<Item name="coordinate_system">keys of this format cannot hold/);
    for (const part of crs.split(' ').slice(0, 3)) expect(text).toContain(part.replace('+datum=NAD83', ''));
  });

  it('a system of the register goes by its code, one that goes by another number too', async () => {
    for (const [crs, code] of [
      ['EPSG:5070', 5070],
      ['ESRI:102039', 5070],
      ['EPSG:900913', 3857],
    ] as const) {
      const [image] = await images(await written({ ...SURFACES[0], crs }));
      expect(image.getGeoKeys()?.ProjectedCSTypeGeoKey).toBe(code);
    }
    const [degrees] = await images(await written({ ...SURFACES[0], crs: 'EPSG:4326' }));
    expect(degrees.getGeoKeys()).toMatchObject({ GTModelTypeGeoKey: 2, GeographicTypeGeoKey: 4326 });
    // ESRI's numbers do not fit: spelled out.
    const [albers] = await images(await written({ ...SURFACES[0], crs: 'ESRI:102008' }));
    expect(albers.getGeoKeys()).toMatchObject({ ProjectedCSTypeGeoKey: 32767, ProjCoordTransGeoKey: 11 });
  });
});
