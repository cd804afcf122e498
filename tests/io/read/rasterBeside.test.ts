/** What stands beside a raster: files of GDAL 3.6.2 and its OGR (tests/fixtures/rasters/formats/make.py). */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openSource } from '../../../src/io/read/formats.ts';
import { classesFromTable } from '../../../src/io/read/rasters/rasterClasses.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { worldFile } from '../../../src/io/read/rasters/worldFile.ts';
import { memorySource } from '../../../src/io/source/memory.ts';
import { urlSource } from '../../../src/io/source/url.ts';
import type { Source } from '../../../src/io/source.ts';
import { host } from '../source/host.ts';
import { tiff } from './tiff.ts';

const folder = new URL('../../fixtures/rasters/formats/', import.meta.url);
const fixture = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const withFiles = (file: string, ...beside: string[]): Source =>
  memorySource(
    file,
    fixture(file),
    beside.map((name) => ({ name, bytes: fixture(name) })),
  );

async function open(source: Source, options: ReadOptions = {}): Promise<Opened> {
  const opened = await openSource(source, options);
  if (!opened.ok) throw new Error(opened.failure.what);
  return opened.value;
}

const rasterOf = (opened: Opened) => {
  if (opened.content.kind !== 'raster') throw new Error('a raster was expected');
  return opened.content.raster;
};

const named = [
  { value: 11, name: 'Open water', colour: '#466b9f' },
  { value: 41, name: 'Oak & hickory', colour: '#68ab5f' },
  { value: 42, name: 'Pine', colour: '#1c5f2c' },
];

describe('names and colours of classes', () => {
  it('from an attribute table in .aux.xml, by the use that it gives its columns', async () => {
    expect((await open(withFiles('classes-table.tif', 'classes-table.tif.aux.xml'))).classes).toEqual(named);
  });

  it('from names of categories in .aux.xml and the table of colours in the file', async () => {
    expect((await open(withFiles('classes-names.tif', 'classes-names.tif.aux.xml'))).classes).toEqual(named);
  });

  it('from a table of dBase beside the file, by the names of its columns', async () => {
    expect((await open(withFiles('classes-vat.tif', 'classes-vat.tif.vat.dbf'))).classes).toEqual(named);
  });

  it('from the table of colours alone: named by their numbers', async () => {
    expect((await open(withFiles('classes-colours.tif'))).classes).toEqual(
      named.map((c) => ({ ...c, name: String(c.value) })),
    );
  });

  it('are not there where the file gives none', async () => {
    expect((await open(withFiles('classes-vat.tif'))).classes).toBeUndefined();
    expect((await open(withFiles('t-uint8-plain.tif'))).classes).toBeUndefined();
  });

  it('a table without words or without whole numbers gives none', () => {
    const column = (name: string, ...cells: string[]) => ({ name, usage: 0, cells });
    expect(classesFromTable([column('Value', '1', '2'), column('Count', '10', '20')])).toEqual([]);
    expect(classesFromTable([column('OID', '1', '2'), column('Name', 'a', 'b')])).toEqual([]);
    expect(
      classesFromTable([column('VALUE', '1', '1.5', '', '4'), column('Label', 'a', 'b', 'c', '')]),
    ).toEqual([{ value: 1, name: 'a', colour: null }]);
  });

  it('a damaged .aux.xml does not keep the raster from opening, and is said', async () => {
    const xml = fixture('classes-table.tif.aux.xml');
    const cut = { name: 'classes-table.tif.aux.xml', bytes: xml.slice(0, xml.length - 300) };
    const opened = await open(memorySource('classes-table.tif', fixture('classes-table.tif'), [cut]));
    expect(opened.classes).toBeUndefined();
    expect(opened.notes.map((n) => `${n.where} ${n.what}`).join()).toMatch(
      /aux\.xml.*ends too soon.*left aside/,
    );
  });
});

describe('place and system from beside', () => {
  it('a world file and a .prj; turned grids too', async () => {
    const raster = rasterOf(await open(withFiles('world.tif', 'world.tfw', 'world.prj')));
    expect(raster.transform.map((x) => Number(x.toFixed(6)))).toEqual([
      480000, 28.25, 10.5, 4300000, 10.5, -28.25,
    ]);
    expect(raster.crs).toMatch(/UTM[ _]zone[ _]16N/i);
  });

  it('all from .aux.xml: place, system, nodata, scale and offset', async () => {
    const raster = rasterOf(await open(withFiles('beside.tif', 'beside.tif.aux.xml')));
    expect(raster.crs).toBe('EPSG:5070');
    expect(raster.transform).toEqual([410000, 90, 0, 1985000, 0, -90]);
    expect(raster.bands[0]).toMatchObject({ nodata: -99, scale: 0.1, offset: -5 });
  });

  it('a world file without a .prj: asks, with the box of the corners', async () => {
    const opened = await openSource(withFiles('world.tif', 'world.tfw'));
    // 20 columns and 13 rows of the turned grid, worked out by hand.
    expect(opened).toMatchObject({
      ok: false,
      failure: { code: 'crs', where: 'world.tif', coordinates: [480000, 4299632.75, 480701.5, 4300210] },
    });
    expect(rasterOf(await open(withFiles('world.tif', 'world.tfw'), { crs: 'EPSG:32616' })).crs).toBe(
      'EPSG:32616',
    );
  });

  it('nothing beside it: says what to bring', async () => {
    const opened = await openSource(withFiles('world.tif'));
    expect(opened).toMatchObject({ ok: false, failure: { code: 'crs' } });
    if (!opened.ok) expect(opened.failure.todo).toMatch(/world file \(\.tfw\)/);
  });

  it('world files with decimal commas, and those that are none', () => {
    const text = '10,5\r\n0\r\n0\r\n-10,5\r\n600005,25\r\n4199994,75\r\n';
    const read = worldFile(text, 'a.tfw');
    expect(read).toEqual({ ok: true, value: [600000, 10.5, 0, 4200000, 0, -10.5] });
    for (const wrong of ['', '1\n2\n3', 'ten\n0\n0\n-10\n0\n0', '0\n0\n0\n0\n5\n5', '<html>'])
      expect(worldFile(wrong, 'a.tfw')).toMatchObject({
        ok: false,
        failure: { code: 'format', where: 'a.tfw' },
      });
  });
});

describe('a file at an address', () => {
  const asked = (bytes: Uint8Array, beside: Readonly<Record<string, Uint8Array>> = {}) => {
    const names: string[] = [];
    const source = urlSource('https://maps.invalid/d/a.tif', (url, init) => {
      const name = url.split('/').at(-1) ?? '';
      if (!names.includes(name)) names.push(name);
      const found = name === 'a.tif' ? bytes : beside[name];
      return found
        ? host(found).fetch(url, init)
        : Promise.resolve(new Response('not there', { status: 404 }));
    });
    return { source, names };
  };

  it('that says where it lies asks for nothing else', async () => {
    const { source, names } = asked(fixture('classes-names.tif'));
    expect((await open(source)).classes?.length).toBe(3);
    expect(names).toEqual(['a.tif']);
  });

  it('that does not asks for what may say it, and finds it', async () => {
    const { source, names } = asked(fixture('world.tif'), {
      'a.tfw': fixture('world.tfw'),
      'a.prj': fixture('world.prj'),
    });
    expect(rasterOf(await open(source)).crs).toMatch(/UTM[ _]zone[ _]16N/i);
    expect(names).toEqual(['a.tif', 'a.tif.aux.xml', 'a.tfw', 'a.prj']);
  });

  it('on a host that answers everything with a page', async () => {
    const page = new TextEncoder().encode('<!doctype html><title>Sign in</title>');
    const { source } = asked(fixture('world.tif'), {
      'a.tif.aux.xml': page,
      'a.tfw': page,
      'a.tifw': page,
      'a.wld': page,
    });
    expect(await openSource(source)).toMatchObject({ ok: false, failure: { code: 'crs', where: 'a.tif' } });
  });

  it('with a system of the user’s asks for nothing else', async () => {
    const { source, names } = asked(tiff({ width: 2, height: 2, values: [1, 2, 3, 4], keys: { 1025: 1 } }));
    await open(source, { crs: 'EPSG:32616' });
    expect(names).toEqual(['a.tif']);
  });
});
