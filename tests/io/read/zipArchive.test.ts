// Zips packed by Debian's zip 3.0 (tests/fixtures/vectors/shapefiles/make.sh), and by the fflate library where a test needs
// another content or a fault in it.
import { zipSync, type Zippable } from 'fflate';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { sentence } from '../../../src/domain/base/result.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { over } from './opened.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import type { Source } from '../../../src/io/source.ts';

const fixtures = new URL('../../fixtures/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, fixtures)));
const shp = (file: string): Uint8Array => bytesOf(`vectors/shapefiles/${file}`);
const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);
const zip = (files: Zippable): Uint8Array => zipSync(files, { mtime: '2026-01-01' });
const point = utf8('{"type":"Point","coordinates":[-82,39]}');
const table = utf8('id,lon,lat\n1,-82,39\n');

const open = (bytes: Uint8Array, options: ReadOptions = {}, name = 'county.zip') =>
  openSource(memorySource(name, bytes), options);

const { read, said } = over(open);

async function loose(name: string): Promise<Opened> {
  const base = name.replace('.shp', '');
  const beside = ['dbf', 'prj'].map((x) => ({ name: `${base}.${x}`, bytes: shp(`${base}.${x}`) }));
  const opened = await openSource(memorySource(name, shp(name), beside));
  if (!opened.ok) throw new Error(sentence(opened.failure));
  return opened.value;
}

describe('a zip of one shapefile', () => {
  it('is read as the shapefile itself', async () => {
    const [zipped, itself] = [await read(shp('zones.zip'), {}, 'zones.zip'), await loose('zones.shp')];
    expect(zipped).toMatchObject({ file: 'zones.zip', format: 'shapefile in a zip', crs: itself.crs });
    expect(zipped.content).toEqual(itself.content);
    expect(zipped.parts).toBeUndefined();
  });

  it('of the 64-bit kind', async () => {
    const bytes = shp('zones-64.zip');
    // The ordinary end of the zip leaves the place of its list to the one of 64 bits.
    expect(new DataView(bytes.buffer).getUint32(bytes.length - 6, true)).toBe(0xffffffff);
    expect((await read(bytes)).content).toEqual((await loose('zones.shp')).content);
    for (let at = 1; at < 200; at++) {
      const damaged = bytes.slice();
      damaged[damaged.length - at] ^= 0xff;
      expect(await said(damaged)).not.toMatch(/undefined|NaN|RangeError|outside the bounds/);
    }
  });

  it('with names in capitals and in a folder', async () => {
    const upper = zip({
      'DATA/ZONES.SHP': shp('zones.shp'),
      'DATA/ZONES.DBF': shp('zones.dbf'),
      'DATA/Zones.prj': shp('zones.prj'),
    });
    expect((await read(upper)).content).toEqual((await loose('zones.shp')).content);
  });

  it('without its .prj: asks for the coordinate system, naming zip and file', async () => {
    const bytes = zip({ 'zones.shp': shp('zones.shp'), 'zones.dbf': shp('zones.dbf') });
    const opened = await open(bytes);
    expect(opened).toMatchObject({
      ok: false,
      failure: {
        code: 'crs',
        where: 'county.zip, zones.shp',
        coordinates: [700000, 1900000, 704000, 1901000],
      },
    });
    expect((await read(bytes, { crs: 'EPSG:5070' })).count).toBe(3);
  });
});

describe('a zip of several files', () => {
  it('gives them as parts, and the one that is asked for', async () => {
    const first = await read(shp('county.zip'));
    expect(first.parts?.map(({ name, kind }) => [name, kind]).sort()).toEqual([
      ['trails.shp', 'line'],
      ['zones.shp', 'polygon'],
    ]);
    for (const part of ['trails.shp', 'zones.shp']) {
      const opened = await read(shp('county.zip'), { part });
      expect(opened.part).toBe(part);
      expect(opened.content).toEqual((await loose(part)).content);
    }
    expect(await said(shp('county.zip'), { part: 'rivers.shp' })).toMatch(
      /holds no "rivers\.shp"\. Choose one of: .*zones\.shp/,
    );
  });

  it('of other kinds: tells what each is, and opens each', async () => {
    const bytes = zip({
      'a/hills.tif': bytesOf('county/hills.tif'),
      'a/zones.fgb': bytesOf('county/seed-zones.fgb'),
      'a/place.geojson': point,
      'a/trees.csv': table,
      'a/readme.txt': utf8('about'),
      'a/hills.tif.aux.xml': utf8('<PAMDataset/>'),
      'a/broken.fgb': bytesOf('county/seed-zones.fgb').slice(0, 300),
    });
    const kinds = { 'hills.tif': 'raster', 'zones.fgb': 'polygon', 'place.geojson': 'point', 'trees.csv': 'table' }; // prettier-ignore
    const opened = await read(bytes);
    expect(
      opened.notes.filter((n) => n.where.startsWith('county.zip')).map((n) => `${n.where}: ${n.what}`),
    ).toEqual([expect.stringMatching(/^county\.zip, broken\.fgb: is damaged or cut short .*: left out$/)]);
    expect(Object.fromEntries((opened.parts ?? []).map((p) => [p.name, p.kind]))).toEqual(kinds);
    for (const [part, kind] of Object.entries(kinds)) {
      const { content, file } = await read(bytes, { part });
      expect([file, content.kind]).toEqual(['county.zip', kind]);
    }
  });

  it('the first of which holds nothing: the next one is read, with a note', async () => {
    const empty = utf8('{"type":"FeatureCollection","features":[]}');
    const opened = await read(zip({ 'a.geojson': empty, 'b.geojson': point }));
    expect(opened.part).toBe('b.geojson');
    expect(opened.notes).toContainEqual({
      where: 'county.zip, a.geojson',
      what: 'holds no features: left out',
    });
  });

  it('beside zips and a geodatabase: those are noted', async () => {
    const opened = await read(
      zip({ 'place.geojson': point, 'a.zip': zip({}), 'b.gdb/a.gdbtable': utf8('x') }),
    );
    expect(opened.notes.map((n) => n.what)).toEqual([
      'zips in it were not opened: a.zip',
      'a file geodatabase (.gdb) in it is not read',
    ]);
  });

  it('with names in the code page of DOS: as they were written', async () => {
    const bytes = zip({ 'ch@ne.geojson': point, 'other.geojson': point });
    // 0x88 is "ê" in code page 437 (Python: 'ê'.encode('cp437')); a name in ASCII says nothing of its encoding.
    const renamed = bytes.map((b) => (b === 0x40 ? 0x88 : b));
    expect((await read(renamed)).parts?.map((p) => p.name)).toContain('chêne.geojson');
  });

  it('unpacks only what it needs, by slices', async () => {
    const noise = new Uint8Array(3_000_000).map((_, i) => (i * 2654435761) >>> 24);
    const bytes = zip({ 'big.tif': [noise, { level: 0 }], 'place.geojson': point });
    const memory = memorySource('county.zip', bytes);
    let total = 0;
    const source: Source = {
      ...memory,
      read: (offset, length) => {
        total += length;
        return memory.read(offset, length);
      },
      readAll: () => Promise.reject(new Error('read whole')),
    };
    expect(await openSource(source, { part: 'place.geojson' })).toMatchObject({ ok: true });
    expect(total).toBeLessThan(200_000);
  });
});

/** Byte of the directory entry of the k-th file. */
function entryAt(data: Uint8Array, k: number): number {
  const view = new DataView(data.buffer, data.byteOffset);
  let at = view.getUint32(data.length - 22 + 16, true);
  for (; k > 0; k--) at += 46 + view.getUint16(at + 28, true);
  return at;
}
const changed = (data: Uint8Array, change: (view: DataView, bytes: Uint8Array) => void): Uint8Array => {
  const copy = data.slice();
  change(new DataView(copy.buffer), copy);
  return copy;
};

describe('a zip that is not opened', () => {
  it.each([
    ['a workspace file', { 'plan.json': utf8('{}'), 'zones.fgb': bytesOf('county/seed-zones.fgb') }, /is a workspace file\. Open it from the workspace menu/],
    ['a workspace file in a folder', { 'ridge/plan.json': utf8('{}') }, /is a workspace file/],
    ['further zips', { 'a.zip': zip({ 'place.geojson': point }) }, /holds further zips \(a\.zip\).*one by one/],
    ['a file geodatabase', { 'county.gdb/a00000001.gdbtable': utf8('x') }, /file geodatabase.*GeoPackage or shapefile/],
    ['parts of a shapefile', { 'zones.dbf': shp('zones.dbf'), 'zones.prj': shp('zones.prj') }, /without its \.shp/],
    ['other files', { 'a.docx': utf8('x'), 'b.pdf': utf8('x') }, /holds nothing that is read \(a\.docx, b\.pdf\)/],
    ['nothing', {}, /is an empty zip/],
    ['a path outside of itself', { '../../place.geojson': point }, /names a path outside of itself.*Do not use/],
  ] as const)('with %s: its sentence', async (_, files, what) => {
    expect(await said(zip(files as Zippable))).toMatch(what);
  }); // prettier-ignore

  it('with a file of which the zip holds more or less than it states', async () => {
    const bytes = zip({ 'place.geojson': point });
    for (const size of [1, 10, point.length - 1, point.length + 1, 10_000])
      expect(await said(changed(bytes, (v, all) => v.setUint32(entryAt(all, 0) + 24, size, true)))).toMatch(
        /place\.geojson: is damaged/,
      );
    expect(await said(bytes.slice(0, bytes.length - 40))).toMatch(/cut short/);
  });

  it('that states more than fits, or many times its size, before any of it is unpacked', async () => {
    const bytes = zip({ 'a.geojson': point, 'b.geojson': point });
    const stating = (size: number): Uint8Array =>
      changed(bytes, (view, all) => {
        for (const k of [0, 1]) view.setUint32(entryAt(all, k) + 24, size, true);
      });
    expect(await said(stating(4_000_000_000))).toMatch(/unpacks to 8,000 MB, more than 4,000 MB/);
    expect(await said(stating(1_000_000_000))).toMatch(/times its size.*fill a computer's memory/);
  });

  // 300 MB of zeros, packed to 0.3 MB.
  it('that is packed a thousandfold', async () => {
    const bomb = zip({ 'a.csv': new Uint8Array(300_000_000) });
    expect(bomb.length).toBeLessThan(500_000);
    expect(await said(bomb)).toMatch(/times its size/);
  });

  it('whose files share the same packed bytes', async () => {
    const noise = new Uint8Array(1_000_000).map((_, i) => (i * 2654435761) >>> 24);
    const files = Object.fromEntries(Array.from({ length: 300 }, (_, i) => [`${i}.csv`, utf8('x')]));
    const bytes = zip({ 'noise.csv': noise, ...files });
    const first = entryAt(bytes, 0);
    const overlapping = changed(bytes, (_, all) => {
      for (let k = 1; k <= 300; k++) {
        const at = entryAt(all, k);
        // Method, check sum, sizes and offset of the first file.
        all.copyWithin(at + 10, first + 10, first + 28);
        all.copyWithin(at + 42, first + 42, first + 46);
      }
    });
    expect(await said(overlapping)).toMatch(/times its size/);
  });
});
