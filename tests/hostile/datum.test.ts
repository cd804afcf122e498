/**
 * The old datum NAD27 lies tens of metres from WGS 84. Files on it are shifted, however they say so, and what the shift is good
 * for is said. Files and texts by GDAL 3.6.2, see make.sh; places by PROJ 9.1.1, see regions.mjs, both in the fixtures' folder.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { crsFrom, type Crs } from '../../src/io/crs/crs.ts';
import { openSource } from '../../src/io/read/formats.ts';
import { memorySource } from '../../src/io/source/memory.ts';

type Row = [x: number, y: number, lon: number, lat: number];
const folder = new URL('../fixtures/datum/', import.meta.url);
const files = readdirSync(folder);
const read = (file: string): string => readFileSync(new URL(file, folder), 'utf8');
const known = JSON.parse(read('nad27.json')) as {
  regions: Array<[code: string, place: string, lon: number, lat: number, lon84: number, lat84: number]>;
  byProj: Array<[code: string, lon: number, lat: number, x: number, y: number]>;
  texts: { own: Row; utm: Row };
};

async function crs(text: string): Promise<Crs> {
  const made = await crsFrom(text, 'roads');
  if (!made.ok) throw new Error(made.failure.what);
  return made.value;
}
const metres = (lon: number, lat: number, a: number, b: number): number =>
  111_320 * Math.hypot((lon - a) * Math.cos((lat * Math.PI) / 180), lat - b);
const NOTE = /NAD27.*three-parameter.*good to about 13 m.*shift grid/;

describe('the datum NAD27', () => {
  it.each(files.filter((f) => f.endsWith('.txt')))('is shifted in a text: %s', async (file) => {
    const system = await crs(read(file));
    const [x, y, lon, lat] = known.texts[file.startsWith('own') ? 'own' : 'utm'];
    const [a, b] = system.inverseOne(x, y);
    expect(metres(lon, lat, a, b)).toBeLessThan(0.002);
    expect(system.accuracyMetres).toBe(13);
    expect(system.note).toMatch(NOTE);
  });

  it.each(files.filter((f) => f.endsWith('.tif') && f !== 'nad83.tif'))(
    'is shifted in a raster, with a note: %s',
    async (file) => {
      const bytes = new Uint8Array(readFileSync(new URL(file, folder)));
      const opened = await openSource(memorySource(file, bytes));
      if (!opened.ok) throw new Error(opened.failure.what);
      expect(opened.value.notes.map((n) => n.what).join()).toMatch(
        file.includes('ellipsoid') ? /Clarke 1866.*taken as.*NAD27.*13 m/ : NOTE,
      );
      if (file === 'degrees.tif') return;
      const [, , lon, lat] = known.texts[file.startsWith('own') ? 'own' : 'utm'];
      const [w, s, e, n] = opened.value.extent ?? [0, 0, 0, 0];
      expect(metres(lon, lat, (w + e) / 2, (s + n) / 2)).toBeLessThan(1);
    },
  );

  it('is what is shifted: the same projection on NAD83 is not, and has no note', async () => {
    const bytes = new Uint8Array(readFileSync(new URL('nad83.tif', folder)));
    const opened = await openSource(memorySource('nad83.tif', bytes));
    if (!opened.ok) throw new Error(opened.failure.what);
    const [w, s, e, n] = opened.value.extent ?? [0, 0, 0, 0];
    expect(metres(-84, 39, (w + e) / 2, (s + n) / 2)).toBeLessThan(1);
    expect(opened.value.notes).toEqual([]);
  });
});

describe('each state and province by the transformation that the EPSG register gives for it', () => {
  it.each(known.regions)('EPSG:%s: %s', async (_, place, lon, lat, lon84, lat84) => {
    const system = await crs('EPSG:4267');
    const [a, b] = system.inverseOne(lon, lat);
    expect(metres(lon84, lat84, a, b), place).toBeLessThan(0.001);
    const { x, y } = system.forward(Float64Array.of(lon84), Float64Array.of(lat84));
    expect(metres(lon, lat, x[0], y[0]), place).toBeLessThan(0.001);
  });

  it('its readjustments and Michigan’s ellipsoid by the same', async () => {
    for (const code of ['EPSG:4268', 'EPSG:4608', 'EPSG:4609', 'EPSG:6201']) {
      const system = await crs(code);
      expect(system.note, code).toMatch(NOTE);
      if (!system.geographic) continue;
      const [a, b] = system.inverseOne(-84.5, 44);
      const [, , , , lon84, lat84] = known.regions.find(([, place]) => place === 'Michigan') ?? [];
      expect(metres(lon84 ?? 0, lat84 ?? 0, a, b), code).toBeLessThan(0.1);
    }
  });

  it('longitudes from 0 to 360 stay there', async () => {
    const system = await crs('EPSG:4267');
    const [a, b] = system.inverseOne(276, 40);
    const [c, d] = system.inverseOne(-84, 40);
    expect(a).toBeCloseTo(c + 360, 9);
    expect(b).toBeCloseTo(d, 12);
    const { x } = system.forward(Float64Array.of(a), Float64Array.of(b));
    expect(x[0]).toBeCloseTo(276, 8);
  });

  it('PROJ, which chooses for itself, agrees within what is stated', async () => {
    for (const [code, lon, lat, x, y] of known.byProj) {
      const system = await crs(code);
      const [a, b] = system.inverseOne(x, y);
      const off = metres(lon, lat, a, b);
      expect(off, code).toBeLessThan(system.accuracyMetres ?? 0);
    }
  });
});
