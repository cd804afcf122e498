/**
 * Damaged rasters (GeoTIFF, ASCII grid, NetCDF): each gives one Failure with its sentence, or values, and never an exception, an endless loop or
 * a grab for memory. Seeds are printed with the case that fails.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sentence, type Failure } from '../../src/domain/base/result.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { tiff } from '../io/read/tiff.ts';

const folder = new URL('../fixtures/rasters/', import.meta.url);
const isWhole = (f: string): boolean => /\.(tif|asc|nc)$/.test(f) && !/refused/.test(f);
// Of the many small files of one kind, those that are packed in ways of their own.
const formats = readdirSync(new URL('formats/', folder))
  .filter(
    (f) =>
      isWhole(f) && (!f.startsWith('t-') || /lerc_zstd|lerc_deflate|jpeg|packbits|zstd-diff|bits7/.test(f)),
  )
  .map((f) => `formats/${f}`);
const files = [...readdirSync(folder).filter(isWhole), ...formats];
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const nameOf = (file: string): string => file.split('/').at(-1) ?? file;

/** Opens and samples everything; what came of it. */
async function use(name: string, bytes: Uint8Array): Promise<Failure | null> {
  const crs = name.endsWith('.asc') ? { crs: 'EPSG:5070' } : {};
  const opened = await openSource(memorySource(name, bytes), crs);
  if (!opened.ok) return opened.failure;
  if (opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  const { raster } = opened.value.content;
  const n = 200;
  const col = Float64Array.from({ length: n }, (_, i) => (raster.width * i) / n);
  const row = Float64Array.from({ length: n }, (_, i) => (raster.height * ((i * 7) % n)) / n);
  for (let band = 1; band <= Math.min(4, raster.bands.length); band++) {
    const values = await raster.sample(band, col, row, 'bilinear');
    if (!values.ok) return values.failure;
    const picture = await raster.picture(band, [0, 0, raster.width, raster.height], 8, 8);
    if (!picture.ok) return picture.failure;
  }
  raster.trim();
  return null;
}

function isPlain(failure: Failure, name: string): void {
  expect(failure.where).toBe(name);
  expect(['format', 'crs', 'content', 'unreadable']).toContain(failure.code);
  expect(failure.todo).not.toBe('');
  const words = sentence(failure);
  expect(words.length).toBeLessThan(300);
  expect(words).not.toMatch(/undefined|\bNaN\b|TypeError|Cannot read|is not a function|\n/);
}

describe('cut short', () => {
  for (const file of files)
    it(`${file}: at any length`, async () => {
      const bytes = bytesOf(file);
      const name = `cut-${nameOf(file)}`;
      for (let k = 0; k < 24; k++) {
        const failure = await use(name, bytes.slice(0, Math.floor((bytes.length * k) / 24)));
        // Sparse files may still be whole enough, and those of several rasters hold the first before the others.
        if (failure) isPlain(failure, name);
        else expect(file).toMatch(/sparse|scaled|pages|\.nc$/);
      }
    });
});

describe('changed bytes', () => {
  for (const file of files)
    it(`${file}: 60 files with up to ten other bytes`, async () => {
      for (let seed = 1; seed <= 60; seed++) {
        const random = rng(seed);
        const bytes = bytesOf(file);
        const head = seed % 2 ? Math.min(600, bytes.length) : bytes.length;
        for (let k = 1 + Math.floor(random() * 10); k > 0; k--)
          bytes[4 + Math.floor(random() * (head - 4))] = Math.floor(random() * 256);
        const name = `seed ${seed} of ${nameOf(file)}`;
        const failure = await use(name, bytes);
        if (failure) isPlain(failure, name);
      }
    });
});

describe('lies in the header', () => {
  const good = (): { bytes: Uint8Array; view: DataView; entry: (tag: number) => number } => {
    const bytes = tiff({ width: 4, height: 4, values: new Float64Array(16) });
    const view = new DataView(bytes.buffer);
    const entry = (tag: number): number => {
      for (let at = 10; ; at += 12) if (view.getUint16(at, true) === tag) return at;
    };
    return { bytes, view, entry };
  };
  const lies: Record<string, (file: ReturnType<typeof good>) => void> = {
    'the next directory is this one': ({ view }) =>
      view.setUint32(10 + view.getUint16(8, true) * 12, 8, true),
    'a directory beyond the end': ({ view }) => view.setUint32(4, 0xfffffff0, true),
    'sixty thousand tags': ({ view }) => view.setUint16(8, 60_000, true),
    'no tags': ({ view }) => view.setUint16(8, 0, true),
    'four billion columns and rows': ({ view, entry }) => {
      view.setUint32(entry(256) + 8, 0xffffffff, true);
      view.setUint32(entry(257) + 8, 0xffffffff, true);
    },
    'no columns': ({ view, entry }) => view.setUint32(entry(256) + 8, 0, true),
    'four billion strips': ({ view, entry }) => view.setUint32(entry(273) + 4, 0xffffffff, true),
    'one strip for four rows': ({ view, entry }) => {
      view.setUint32(entry(273) + 4, 1, true);
      view.setUint32(entry(279) + 4, 1, true);
    },
    'strips beyond the end': ({ view, entry }) => {
      const at = view.getUint32(entry(273) + 8, true);
      for (let k = 0; k < 4; k++) view.setUint32(at + 4 * k, 0x7fffffff, true);
    },
    'strips of a byte': ({ view, entry }) => {
      const at = view.getUint32(entry(279) + 8, true);
      for (let k = 0; k < 4; k++) view.setUint32(at + 4 * k, 1, true);
    },
    'one strip of two gigabytes': ({ view, entry }) => {
      view.setUint32(entry(256) + 8, 30_000, true);
      view.setUint32(entry(257) + 8, 30_000, true);
      view.setUint32(entry(278) + 8, 30_000, true);
    },
    'a way of packing that there is not': ({ view, entry }) => view.setUint16(entry(259) + 8, 4242, true),
    'cells of 17 bits': ({ view, entry }) => view.setUint16(entry(258) + 8, 17, true),
    'cells of nothing': ({ view, entry }) => view.setFloat64(view.getUint32(entry(33550) + 8, true), 0, true),
    'cells of no size': ({ view, entry }) =>
      view.setFloat64(view.getUint32(entry(33550) + 8, true), NaN, true),
    'a place at the end of the world': ({ view, entry }) =>
      view.setFloat64(view.getUint32(entry(33922) + 8, true) + 24, 1e300, true),
  };
  for (const [name, lie] of Object.entries(lies))
    it(name, async () => {
      const file = good();
      expect(await use('good.tif', file.bytes)).toBeNull();
      lie(file);
      const failure = await use('lie.tif', file.bytes);
      expect(failure).not.toBeNull();
      if (failure) isPlain(failure, 'lie.tif');
    });
});

describe('a lie in a file that is large enough for it', () => {
  it('a text of a gigabyte is not read', async () => {
    const bytes = tiff({ width: 4, height: 4, values: new Float64Array(16), metadata: 'x'.repeat(50) });
    const view = new DataView(bytes.buffer);
    for (let at = 10; ; at += 12)
      if (view.getUint16(at, true) === 42112) {
        view.setUint32(at + 4, 1e9, true);
        break;
      }
    const file = memorySource('large.tif', bytes);
    let most = 0;
    const opened = await openSource({
      ...file,
      size: 3e9,
      read(offset, length) {
        most = Math.max(most, length);
        return file.read(offset, length);
      },
    });
    expect(opened).toMatchObject({ ok: false, failure: { code: 'format', where: 'large.tif' } });
    expect(most).toBeLessThan(1e6);
  });
});

describe('lies in the header of a NetCDF file', () => {
  const file = 'formats/monthly.nc';
  /** Byte at which a text stands, with its length and padding passed. */
  const after = (bytes: Uint8Array, text: string): number => {
    const at = new TextDecoder('latin1').decode(bytes).indexOf(text);
    if (at < 0) throw new Error(`no ${text}`);
    return at + Math.ceil(text.length / 4) * 4;
  };
  const lies: Record<string, (view: DataView, bytes: Uint8Array) => void> = {
    'four billion records': (view) => view.setUint32(4, 0xfffffffe),
    'as many records as there is room for, and no room': (view, bytes) => {
      view.setUint32(4, 0xffffffff);
      view.setUint32(after(bytes, 'lat'), 0x7fffffff);
    },
    'four billion dimensions': (view) => view.setUint32(12, 0xffffffff),
    'a row of two billion cells': (view, bytes) => view.setUint32(after(bytes, 'lon'), 0x7fffffff),
    'no columns': (view, bytes) => view.setUint32(after(bytes, 'lon'), 0),
    'a name of four billion letters': (view) => view.setUint32(16, 0xfffffffc),
    'four billion numbers in an attribute': (view, bytes) =>
      view.setUint32(after(bytes, 'scale_factor') + 4, 0xffffffff),
    'thirty million numbers in an attribute': (view, bytes) =>
      view.setUint32(after(bytes, 'scale_factor') + 4, 30e6),
    'an attribute of a type that there is not': (view, bytes) =>
      view.setUint32(after(bytes, 'scale_factor'), 77),
    'a variable of four billion dimensions': (view, bytes) => view.setUint32(after(bytes, 'tmp'), 0xffffffff),
    'a variable over a dimension that there is not': (view, bytes) =>
      view.setUint32(after(bytes, 'tmp') + 4, 99),
  };
  for (const [name, lie] of Object.entries(lies))
    it(name, async () => {
      const bytes = bytesOf(file);
      lie(new DataView(bytes.buffer), bytes);
      const failure = await use('lie.nc', bytes);
      expect(failure).not.toBeNull();
      if (failure) isPlain(failure, 'lie.nc');
    });
});

describe('names that lie', () => {
  it.each([
    ['formats/heights.asc', 'heights.tif'],
    ['formats/globe.nc', 'globe.asc'],
    ['int16-scaled.tif', 'scaled.nc'],
  ])('%s as %s is read as what it is', async (file, name) => {
    const opened = await openSource(memorySource(name, bytesOf(file)), {
      crs: file.includes('scaled') ? 'EPSG:5070' : 'EPSG:4326',
    });
    expect(opened.ok && opened.value.content.kind).toBe('raster');
  });

  it.each([
    ['a text as .asc', 'grid.asc', 'ncols are mentioned here, but this is a letter'],
    ['a page as .nc', 'grid.nc', '<!doctype html><title>Not found</title>'],
    ['binary noise as .asc', 'grid.asc', '\u0000\u0001\u0002'],
  ])('%s', async (_what, name, text) => {
    const opened = await openSource(memorySource(name, new TextEncoder().encode(text)));
    expect(opened.ok).toBe(false);
    if (!opened.ok) isPlain(opened.failure, name);
  });
});
