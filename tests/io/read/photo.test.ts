import exifr from 'exifr';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { photo } from '../../../src/io/read/photos/photo.ts';
import type { ReadOptions } from '../../../src/io/read/types.ts';
import type { Source } from '../../../src/io/source.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../../fixtures/photos/${name}`, import.meta.url)));

const attempt = (name: string, bytes = fixture(name), options: ReadOptions = {}) =>
  photo.read(memorySource(name, bytes), options);

async function spotOf(name: string, bytes = fixture(name), options: ReadOptions = {}) {
  const opened = await attempt(name, bytes, options);
  if (!opened.ok) throw new Error(opened.failure.what);
  const { content, notes, ...rest } = opened.value;
  if (content.kind !== 'point') throw new Error('a point was expected');
  return { spot: content.features[0], notes: notes.map((n) => n.what), rest };
}

async function failureOf(name: string, bytes = fixture(name)) {
  const opened = await attempt(name, bytes);
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

describe('a photo with a position', () => {
  // Exif as exiftool 12.57 writes it; the HEIC as heif-enc 1.15 makes it of the JPEG.
  it.each(['oak.jpg', 'oak.heic', 'oak.png', 'oak.webp'])(
    '%s is one point with what the camera told',
    async (name) => {
      const { spot, notes, rest } = await spotOf(name);
      expect(spot).toEqual({
        lon: -82.1034125,
        lat: 39.33215,
        attributes: {
          file: name,
          date: '2026-02-14T10:22:05-05:00',
          accuracy: 4.7,
          direction: 231.25,
          north: 'true',
          altitude: 212.4,
          width: 32,
          height: 16,
        },
      });
      expect(notes).toEqual([]);
      expect(rest).toMatchObject({ file: name, format: 'Photo', crs: 'EPSG:4326', count: 1 });
      expect(photo.recognises(fixture(name).subarray(0, 512), name)).toBe(true);
    },
  );

  // Of the HEIC, that library finds nothing.
  it.each(['oak.jpg', 'southwest.jpg'])(
    '%s: the position that another library reads (exifr 7.1)',
    async (name) => {
      const theirs = await exifr.gps(Buffer.from(fixture(name)));
      const { spot } = await spotOf(name);
      expect(spot.lat).toBeCloseTo(theirs.latitude, 8);
      expect(spot.lon).toBeCloseTo(theirs.longitude, 8);
    },
  );

  it('south and west are negative, below the sea too; the satellites tell the date where the camera does not', async () => {
    const { spot, notes } = await spotOf('southwest.jpg');
    expect(spot).toMatchObject({
      lon: -70.25,
      lat: -33.5,
      attributes: {
        date: '2026-02-14T15:22:05Z',
        accuracy: null,
        direction: 12,
        north: 'magnetic',
        altitude: -3.5,
      },
    });
    expect(notes).toEqual([expect.stringMatching(/^was taken while the camera had no position of its own/)]);
  });

  it('says where it had to guess the half of the world, and offers the minus sign', async () => {
    const { spot, notes, rest } = await spotOf('no-refs.jpg');
    expect(spot).toMatchObject({ lon: 82.5, lat: 39.5, attributes: { date: null } });
    expect(notes).toEqual([
      'does not say whether it is north or south; it was read as north',
      'does not say whether it is east or west; it was read as east',
      expect.stringMatching(/^names the datum "NAD27"/),
    ]);
    expect(rest.offers).toMatchObject([{ mend: 'sign' }]);
    const mended = await spotOf('no-refs.jpg', undefined, { mend: ['sign'] });
    expect(mended.spot.lon).toBe(-82.5);
  });

  it('is read by slices, however large the picture is', async () => {
    const bytes = fixture('oak.jpg');
    let most = 0;
    const source: Source = {
      name: 'big.jpg',
      size: 5e9,
      read(offset, length) {
        most = Math.max(most, offset + length);
        return memorySource('big.jpg', bytes).read(offset, length);
      },
      readAll: () => Promise.reject(new Error('the whole file was read')),
    };
    expect((await photo.read(source, {})).ok).toBe(true);
    expect(most).toBeLessThan(100_000);
  });
});

describe('a picture without one', () => {
  it.each([
    ['plain.jpg', /^is a picture that holds no position$/],
    ['no-gps.jpg', /^is a picture that holds no position$/],
    ['zero.jpg', /position 0, 0, which stands for none/],
  ])('%s: a sentence', async (name, what) => {
    const failure = await failureOf(name);
    expect(failure).toMatchObject({ code: 'content', where: name });
    expect(failure.what).toMatch(what);
    expect(failure.todo).toMatch(/vetting sheet.*copy the original.*turn on location/);
  });

  it.each([
    [[0xff, 0xd8], true],
    [[0xff, 0xd8, 0xff, 0xe0], true],
    [[0xff, 0xd8, 0x00], false],
    [[...'\0\0\0\x18ftypheic'].map((c) => c.charCodeAt(0)), true],
    [[...'\0\0\0\x18ftypisom'].map((c) => c.charCodeAt(0)), false],
    [[...'GIF89a'].map((c) => c.charCodeAt(0)), false],
  ])('first bytes %j: %s', (head, is) => {
    expect(photo.recognises(Uint8Array.from(head), 'a.jpg')).toBe(is);
  });
});

describe('damaged Exif', () => {
  const u16 = (n: number) => [n >> 8, n & 255];
  const u32 = (n: number) => [n >>> 24, (n >> 16) & 255, (n >> 8) & 255, n & 255];
  /** A JPEG with this TIFF structure. */
  const jpeg = (tiff: readonly number[]): Uint8Array =>
    Uint8Array.from([0xff, 0xd8, 0xff, 0xe1, ...u16(tiff.length + 8), ...[...'Exif\0\0'].map((c) => c.charCodeAt(0)), ...tiff, 0xff, 0xd9]); // prettier-ignore
  type Entry = readonly [tag: number, type: number, count: number, value: readonly number[]];
  /** Big-endian, with one directory of GPS entries and data after them at offset 180. */
  const gps = (entries: readonly Entry[], data: readonly number[]) => {
    const head = [
      0x4d,
      0x4d,
      0,
      42,
      ...u32(8),
      ...u16(1),
      ...u16(0x8825),
      ...u16(4),
      ...u32(1),
      ...u32(26),
      ...u32(0),
    ];
    const own = [
      ...u16(entries.length),
      ...entries.flatMap(([tag, type, count, value]) => [...u16(tag), ...u16(type), ...u32(count), ...value]),
    ];
    const all = [...head, ...own];
    return jpeg([...all, ...new Array<number>(Math.max(0, 180 - all.length)).fill(0), ...data]);
  };
  const dms = (...parts: readonly (readonly [number, number])[]) =>
    parts.flatMap(([a, b]) => [...u32(a), ...u32(b)]);
  const N: Entry = [1, 2, 2, [0x4e, 0, 0, 0]];
  const W: Entry = [3, 2, 2, [0x57, 0, 0, 0]];
  const LAT: Entry = [2, 5, 3, u32(180)];
  const LON: Entry = [4, 5, 3, u32(204)];
  const good = dms([39, 1], [30, 1], [0, 1], [82, 1], [15, 1], [0, 1]);

  it('reads the sound one that the damaged ones are made from', async () => {
    const { spot } = await spotOf('a.jpg', gps([N, LAT, W, LON], good));
    expect([spot.lon, spot.lat]).toEqual([-82.25, 39.5]);
  });

  it('passes a damaged value over without losing the others', async () => {
    const bad: Entry[] = [
      [5, 0, 1, u32(0)],
      [6, 5, 1, u32(0xffffffff)],
      [0x11, 99, 7, u32(9)],
      [0x1d, 2, 0xffffffff, u32(50)],
    ];
    const { spot } = await spotOf('a.jpg', gps([...bad.slice(0, 2), N, ...bad.slice(2), LAT, W, LON], good));
    expect(spot).toMatchObject({ lon: -82.25, lat: 39.5, attributes: { altitude: null, direction: null } });
  });

  it.each([
    [
      'a part of 0/0',
      gps([N, LAT, W, LON], dms([39, 1], [0, 0], [0, 1], [82, 1], [15, 1], [0, 1])),
      /damaged/,
    ],
    [
      'a part divided by 0',
      gps([N, LAT, W, LON], dms([39, 0], [0, 1], [0, 1], [82, 1], [15, 1], [0, 1])),
      /damaged/,
    ],
    [
      'a latitude of 139',
      gps([N, LAT, W, LON], dms([139, 1], [0, 1], [0, 1], [82, 1], [15, 1], [0, 1])),
      /damaged/,
    ],
    ['a longitude only', gps([W, LON], good), /no position/],
    ['a latitude as text', gps([N, [2, 2, 3, [65, 66, 0, 0]], W, LON], good), /no position/],
    ['places beyond the end', gps([N, [2, 5, 3, u32(0xfffffff0)], W, LON], good), /no position/],
    ['a directory beyond the end', jpeg([0x4d, 0x4d, 0, 42, ...u32(0xfffffff0)]), /no position/],
    [
      'a directory within itself',
      jpeg([
        0x4d,
        0x4d,
        0,
        42,
        ...u32(8),
        ...u16(1),
        ...u16(0x8825),
        ...u16(4),
        ...u32(1),
        ...u32(8),
        ...u32(0),
      ]),
      /no position/,
    ],
    ['no byte order', jpeg([1, 2, 3, 4, 5, 6, 7, 8, 9]), /no position/],
    ['nothing', jpeg([]), /no position/],
  ])('%s: a sentence', async (_, bytes, what) => {
    const failure = await failureOf('a.jpg', bytes);
    expect(failure.what).toMatch(what);
    expect(`${failure.what} ${failure.todo}`).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('ends on boxes of a HEIC that have no end or no size', async () => {
    const box = (type: string, size: number, ...content: number[]) => [
      ...u32(size),
      ...[...type].map((c) => c.charCodeAt(0)),
      ...content,
    ];
    const ftyp = box('ftyp', 24, ...[...'heic\0\0\0\0mif1heic'].map((c) => c.charCodeAt(0)));
    for (const rest of [
      box('mdat', 0, 1, 2, 3),
      box('free', 1),
      box('free', 4),
      box('meta', 0xffffffff),
      box('meta', 12, 0, 0, 0, 0),
      box('meta', 0),
    ])
      // prettier-ignore
      expect((await failureOf('a.heic', Uint8Array.from([...ftyp, ...rest]))).what).toMatch(
        /damaged picture|no position/,
      );
  });
});
