/**
 * Tables as layers, with the coordinate systems and geometries of io. Files: tests/fixtures/tables (GDAL, Python). Positions in
 * UTM: PROJ 9.1.1, `cs2cs -f %.8f EPSG:32616 EPSG:4326` and so on.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { geodesicMetres } from '../../src/domain/base/geodesy.ts';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import { OAKS } from '../../src/domain/species/species.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';

const entry = (definition: string, more: Partial<LayerEntry> = {}): LayerEntry => ({
  id: definition,
  definition,
  path: 'x',
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
  ...more,
});

async function open(definition: string, file: string | { text: string }, more: Partial<LayerEntry> = {}) {
  const bytes =
    typeof file === 'string'
      ? readFileSync(`tests/fixtures/tables/${file}`)
      : new TextEncoder().encode(file.text);
  const name = typeof file === 'string' ? file : 't.csv';
  const layer = await openLayer(createDesk(), entry(definition, more), memorySource(name, bytes), {});
  if (!layer.ok) throw new Error(`${layer.failure.where}: ${layer.failure.what}`);
  return layer.value;
}

const LON = [-84.5037, -84.61, -84.7];
const LAT = [38.0402, 38.1, 38.2];
/** A hundredth of a second of arc is 0.3 m; these agree far better. */
const close = (found: Float64Array | undefined, wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  wanted.forEach((w, i) => expect(found?.[i]).toBeCloseTo(w, 7));
};

describe('candidates from tables of GDAL', () => {
  test.each([
    ['points-xy.csv', {}],
    ['points-wkt.csv', {}],
    ['points-utm.csv', { crs: 'EPSG:32616' }],
    ['points-utm.csv', { columns: { easting: 'X', northing: 'Y' }, crs: '32616' }],
  ])('%s %j', async (file, more) => {
    const { candidates: c, notes } = await open('candidates', file, more);
    close(c?.lon, LON);
    close(c?.lat, LAT);
    expect(c?.id).toEqual(['K1', 'K2', 'K3']);
    expect([...(c?.dbh ?? [])]).toEqual([61.5, 88.25, 47]);
    expect([OAKS[c?.species[1] ?? -1].name, c?.hybrid[2]]).toEqual([
      'Quercus macrocarpa',
      OAKS.findIndex((o) => o.name === 'Quercus macrocarpa'),
    ]);
    expect(notes.map((n) => n.what)).toEqual([expect.stringContaining('Quercus ×bebbiana is read as')]);
  });

  test('metres of which nothing says the system: the box is given, for a guess', async () => {
    const bytes = readFileSync('tests/fixtures/tables/points-utm.csv');
    const layer = await openLayer(
      createDesk(),
      entry('candidates'),
      memorySource('points-utm.csv', bytes),
      {},
    );
    if (layer.ok) throw new Error('a refusal was expected');
    expect(layer.failure.code).toBe('crs');
    expect(layer.failure.coordinates?.map(Math.round)).toEqual([701397, 4213217, 719066, 4230506]);
  });
});

test('a table of Python with words of another language, once its columns are settled', async () => {
  const columns = { lon: 'Länge', lat: 'Breite', dbh: 'BHD', id: 'Nr' };
  const { candidates: c } = await open('candidates', 'semicolon-windows-1252.csv', { columns });
  close(c?.lon, LON);
  close(c?.lat, LAT);
  expect([...(c?.dbh ?? [])]).toEqual([61.5, 88.25, NaN]);
  expect(c?.text.row).toEqual(['4', '5', '6']);
});

describe('UTM (PROJ 9.1.1)', () => {
  test.each([
    ['id,UTM 16N E,UTM 16N N\na,684000,4205000', -84.90511829, 37.97399525],
    ['id,NAD83 UTM 16N E,NAD83 UTM 16N N\na,684000,4205000', -84.90511829, 37.97399526],
    ['id,coordinates\na,16S 684000 4205000', -84.90511829, 37.97399525],
    ['id,easting,northing,zone\na,684000,4205000,16S', -84.90511829, 37.97399525],
    ['id,easting,northing,zone\na,250000,4100000,17', -83.80990785, 37.01294055],
    ['id,easting,northing,zone\na,500000,6200000,56H', 153, -34.34130272],
    ['id,x,y\na,1000000,1800000', -84.36771413, 38.67713832],
  ])('%j', async (text, lon, lat) => {
    const crs = text.startsWith('id,x') ? { crs: 'EPSG:5070' } : {};
    const { candidates: c } = await open('candidates', { text }, crs);
    // 5e-8 degrees are 5 mm.
    expect(Math.abs((c?.lon[0] ?? NaN) - lon)).toBeLessThan(5e-8);
    expect(Math.abs((c?.lat[0] ?? NaN) - lat)).toBeLessThan(5e-8);
  });
});

test('NAD27 is shifted where a column says so, and its accuracy is stated (PROJ: within the 13 m stated)', async () => {
  // `echo "38 -84.5" | cs2cs -f %.8f EPSG:4267 EPSG:4326`, PROJ 9.1.1 without its grids.
  const shifted = [-84.49991607, 38.00005907] as const;
  const text = 'id,lat,lon,geodeticDatum\na,38,-84.5,NAD27\nb,38.1,-84.5,WGS84\n';
  const { candidates: c, notes } = await open('candidates', { text });
  const metres = geodesicMetres(c?.lon[0] ?? NaN, c?.lat[0] ?? NaN, ...shifted);
  expect(metres).toBeLessThan(13);
  expect(geodesicMetres(-84.5, 38, ...shifted)).toBeGreaterThan(5);
  expect([c?.lon[1], c?.lat[1]]).toEqual([-84.5, 38.1]);
  expect(notes.some((n) => /1 positions .*old datum NAD27.*good to about 13 m/.test(n.what))).toBe(true);
});

describe('well-known text', () => {
  test('outlines become zones, with holes, in degrees and in metres', async () => {
    for (const [file, crs] of [
      ['stands-wkt.csv', undefined],
      ['stands-albers.csv', 'EPSG:5070'],
    ] as const) {
      const layer = await open('zones', file, { key: 'zone', name: 'name', ...(crs ? { crs } : {}) });
      expect(layer.zones?.map((z) => z.key)).toEqual(['A', 'B']);
      const { content } = layer.opened;
      if (content.kind !== 'polygon') throw new Error('polygons were expected');
      expect(content.features[0].geometry.map((p) => p.length)).toEqual([2]);
      expect(content.features[1].geometry).toHaveLength(2);
      expect(content.features[1].attributes).toEqual({ zone: 'B', name: 'Bottom, wet' });
      const [x, y] = content.features[0].geometry[0][0][0];
      expect([x, y].map((v) => Number(v.toFixed(6)))).toEqual([-84.6, 38]);
    }
  });
  test('outlines of stands become candidates', async () => {
    const { candidates: c } = await open('candidates', 'stands-wkt.csv', { columns: { id: 'zone' } });
    expect(c?.id).toEqual(['A', 'B']);
    expect(c?.stands?.size).toBe(2);
  });
  test('rows that are no geometry, an empty one or a curve are left out with a note', async () => {
    const text = `wkt;zone\nPOLYGON ((-85 38,-84 38,-84 39,-85 38));A\nCIRCULARSTRING (0 0,1 1,2 0);B\nPOLYGON EMPTY;C\n;D\nnonsense;E\nSRID=4326;F\n`;
    const { zones, notes } = await open('zones', { text }, { key: 'zone' });
    expect(zones?.map((z) => z.key)).toEqual(['A']);
    expect(notes.map((n) => n.where)).toEqual([3, 4, 5, 6, 7].map((r) => `t.csv, row ${r}, wkt`));
  });
  test('EWKT of points', async () => {
    const { candidates: c } = await open('candidates', { text: 'id,geom\na,"SRID=4326;POINT(-84 38)"\n' });
    expect([c?.lon[0], c?.lat[0]]).toEqual([-84, 38]);
  });
});

test('offers of a table come with the layer, and what the entry accepts is mended', async () => {
  const text = 'id,lon,lat\na,84.5,38\nb,84.6,38.1\nc,0,0\n';
  const layer = await open('candidates', { text });
  expect(layer.opened.offers?.map((o) => o.mend)).toEqual(['zeros', 'sign']);
  const mended = await open('candidates', { text }, { mend: ['sign', 'zeros'] });
  expect([...(mended.candidates?.lon ?? [])]).toEqual([-84.5, -84.6]);
  expect(mended.opened.offers).toBeUndefined();
});
