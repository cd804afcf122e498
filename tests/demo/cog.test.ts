/**
 * The demo's own writer of cloud-optimized GeoTIFF. What is read back comes from another library; the rules of the layout
 * are those of the documentation of GDAL's COG driver (order of IFDs and data, structural metadata, block leader and trailer).
 */
import { fromArrayBuffer } from 'geotiff';
import { describe, expect, test } from 'vitest';
import { writeCog, type Cells, type CogInput } from '../../demo-data/lib/cog.ts';
import { rng } from '../../demo-data/lib/rng.ts';

const WIDTH = 700;
const HEIGHT = 530;
const FAR = {
  left: 1_000_000,
  top: 2_000_000,
  cell: 30,
  width: WIDTH,
  height: HEIGHT,
  description: 'test',
  unit: 'm',
};

function make(type: 'int16' | 'uint8' | 'float32', more: Partial<CogInput> = {}): CogInput {
  const random = rng('cog test ' + type);
  const fill = (x: number): number =>
    type === 'uint8' ? x % 256 : type === 'int16' ? x - 30_000 : (x - 30_000) / 7;
  const source = Array.from({ length: WIDTH * HEIGHT }, () => fill(random.int(0, 60_000)));
  const data: Cells =
    type === 'uint8'
      ? Uint8Array.from(source)
      : type === 'int16'
        ? Int16Array.from(source)
        : Float32Array.from(source);
  return {
    ...FAR,
    data,
    nodata: type === 'uint8' ? 0 : -9999,
    overviews: type === 'uint8' ? 'majority' : 'average',
    ...more,
  };
}

interface Ifd {
  readonly at: number;
  readonly tags: Map<number, { type: number; count: number; at: number }>;
  readonly next: number;
}
function ifds(bytes: Uint8Array): Ifd[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const list: Ifd[] = [];
  for (let at = view.getUint32(4, true); at > 0; at = list[list.length - 1].next) {
    const n = view.getUint16(at, true);
    const tags = new Map<number, { type: number; count: number; at: number }>();
    for (let k = 0; k < n; k++) {
      const e = at + 2 + 12 * k;
      const type = view.getUint16(e + 2, true);
      const count = view.getUint32(e + 4, true);
      const size = count * ({ 2: 1, 3: 2, 4: 4, 12: 8 }[type] ?? NaN);
      tags.set(view.getUint16(e, true), { type, count, at: size > 4 ? view.getUint32(e + 8, true) : e + 8 });
    }
    list.push({ at, tags, next: view.getUint32(at + 2 + 12 * n, true) });
  }
  return list;
}
function longs(bytes: Uint8Array, ifd: Ifd, tag: number): number[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const t = ifd.tags.get(tag);
  if (!t) throw new Error(`no tag ${tag}`);
  return Array.from({ length: t.count }, (_, k) =>
    t.type === 3 ? view.getUint16(t.at + 2 * k, true) : view.getUint32(t.at + 4 * k, true),
  );
}

describe.each(['int16', 'uint8', 'float32'] as const)('%s', (type) => {
  const input = make(type);
  const bytes = writeCog(input);

  test('reads back cell for cell, with place and nodata', async () => {
    const tiff = await fromArrayBuffer(bytes.slice().buffer);
    const image = await tiff.getImage(0);
    const [values] = (await image.readRasters()) as unknown as Cells[];
    expect(Buffer.compare(new Uint8Array(values.buffer), new Uint8Array(input.data.buffer))).toBe(0);
    expect(image.getOrigin().slice(0, 2)).toEqual([FAR.left, FAR.top]);
    expect(image.getResolution().slice(0, 2)).toEqual([30, -30]);
    expect(image.getGDALNoData()).toBe(input.nodata);
    expect(image.getGeoKeys()?.ProjectedCSTypeGeoKey).toBe(5070);
  });

  test('overviews halve the size until one tile holds all, and their values are those of four cells', async () => {
    const tiff = await fromArrayBuffer(bytes.slice().buffer);
    expect(await tiff.getImageCount()).toBe(3);
    const sizes = await Promise.all([0, 1, 2].map(async (k) => (await tiff.getImage(k)).getWidth()));
    expect(sizes).toEqual([700, 350, 175]);
    const [values] = (await (await tiff.getImage(1)).readRasters()) as unknown as Cells[];
    const random = rng('cells of the overview');
    for (let k = 0; k < 200; k++) {
      const x = random.int(0, 349);
      const y = random.int(0, 264);
      const four = [0, 1, WIDTH, WIDTH + 1]
        .map((d) => input.data[2 * y * WIDTH + 2 * x + d])
        .filter((z) => z !== input.nodata);
      const got = values[y * 350 + x];
      if (type === 'uint8') expect(four.length === 0 ? [0] : four).toContain(got);
      else
        expect(Math.abs(got - four.reduce((a, b) => a + b, 0) / four.length)).toBeLessThanOrEqual(
          type === 'int16' ? 0.5 : 0.01,
        );
    }
  });

  test('all IFDs come before all data, and the data of a smaller overview before that of a larger image', () => {
    const list = ifds(bytes);
    const offsets = list.map((ifd) => longs(bytes, ifd, 324));
    const ends = list.map((ifd, k) => Math.max(...offsets[k].map((o, t) => o + longs(bytes, ifd, 325)[t])));
    for (let k = 1; k < list.length; k++) {
      expect(list[k].at).toBeGreaterThan(list[k - 1].at);
      expect(ends[k]).toBeLessThan(Math.min(...offsets[k - 1]));
    }
    expect(Math.max(...list.map((l) => l.at))).toBeLessThan(Math.min(...offsets.flat()));
    // Values of tags that do not fit their entry lie before the data too.
    for (const ifd of list)
      for (const t of ifd.tags.values()) expect(t.at).toBeLessThan(Math.min(...offsets.flat()));
  });

  test('tags are in ascending order and every tile has its size before it and its last four bytes behind it', () => {
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    for (const ifd of ifds(bytes)) {
      const tags = [...ifd.tags.keys()];
      expect(tags).toEqual([...tags].sort((a, b) => a - b));
      const counts = longs(bytes, ifd, 325);
      longs(bytes, ifd, 324).forEach((o, t) => {
        expect(view.getUint32(o - 4, true)).toBe(counts[t]);
        expect(view.getUint32(o + counts[t], true)).toBe(view.getUint32(o + counts[t] - 4, true));
      });
    }
  });

  test('the structural metadata gives its own length and the layout', () => {
    const head = new TextDecoder('latin1').decode(bytes.subarray(8, 400));
    const size = Number(/^GDAL_STRUCTURAL_METADATA_SIZE=(\d{6}) bytes\n/.exec(head)?.[1]);
    expect(head.slice(43, 43 + size)).toMatch(
      /^LAYOUT=IFDS_BEFORE_DATA\n[^]*KNOWN_INCOMPATIBLE_EDITION=NO\n $/,
    );
    expect(ifds(bytes)[0].at).toBe(8 + 43 + size + ((43 + size) % 2));
  });
});

test('the most frequent class wins in an overview of classes, nodata never counts', async () => {
  const data = new Uint8Array(512 * 512).fill(41);
  data.set([5, 5], 0);
  data.set([5, 7], 512);
  data.set([0, 0], 2);
  data.set([0, 9], 514);
  const tiff = await fromArrayBuffer(
    writeCog({ ...FAR, width: 512, height: 512, data, nodata: 0, overviews: 'majority' }).slice().buffer,
  );
  const [values] = (await (await tiff.getImage(1)).readRasters()) as unknown as Uint8Array[];
  expect([...values.subarray(0, 3)]).toEqual([5, 9, 41]);
});

test('scale, offset and unit are in the metadata of the band', async () => {
  const tiff = await fromArrayBuffer(writeCog(make('int16', { scale: 0.01, offset: 3 })).slice().buffer);
  const meta = await (await tiff.getImage(0)).getGDALMetadata(0);
  expect(meta).toMatchObject({ SCALE: '0.01', OFFSET: '3', UNITTYPE: 'm' });
});
