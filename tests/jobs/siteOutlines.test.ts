/** Files that sites are taken from: tests/fixtures/sites (invented fields, written by GDAL), and texts made here. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { areaIndex } from '../../src/domain/layers/areaIndex.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { MOST_OUTLINES, siteOutlines } from '../../src/jobs/handlers/siteOutlines.ts';
import type { SiteOutlines } from '../../src/jobs/protocol.ts';

const FOLDER = 'tests/fixtures/sites';
const bytes = (name: string): Uint8Array => new Uint8Array(readFileSync(`${FOLDER}/${name}`));
const NAMES = ['Upper pasture', 'Creek bottom', 'Two strips'];
/** By another program (areas.txt beside the fixtures), square metres. */
const AREAS = [461333.73, 576756.3, 480475.65];

const read = (name: string, beside: string[] = [], reading = {}) =>
  siteOutlines(
    memorySource(
      name,
      bytes(name),
      beside.map((b) => ({ name: b, bytes: bytes(b) })),
    ),
    reading,
    null,
    {},
  );
const text = (name: string, content: unknown, near: { lon: number; lat: number } | null = null) =>
  siteOutlines(memorySource(name, new TextEncoder().encode(JSON.stringify(content))), {}, near, {});
const collection = (features: ReadonlyArray<{ properties?: object; geometry: object }>) => ({
  type: 'FeatureCollection',
  features: features.map((f) => ({ type: 'Feature', properties: {}, ...f })),
});
const square = (lon: number, lat: number, side = 0.001) => ({
  type: 'Polygon',
  coordinates: [
    [
      [lon, lat],
      [lon + side, lat],
      [lon + side, lat + side],
      [lon, lat + side],
      [lon, lat],
    ],
  ],
});
const named = ({ outlines, named: field }: SiteOutlines): string[] => outlines.map((o) => o.texts[field]);

describe('outlines of a file', () => {
  const cases: Array<[string, string[]]> = [
    ['fields.geojson', []],
    ['fields.gpkg', []],
    ['fields.kml', []],
    ['utm.shp', ['utm.dbf', 'utm.prj', 'utm.shx']],
  ];
  for (const [name, beside] of cases)
    it(`have names, areas and a point inside: ${name}`, async () => {
      const found = await read(name, beside);
      if (!found.ok) throw new Error(found.failure.what);
      expect(named(found.value)).toEqual(NAMES);
      found.value.outlines.forEach(({ area, place, squareMetres }, i) => {
        // Corners in UTM were joined by straight lines there: a millionth or two.
        expect(Math.abs(squareMetres / AREAS[i] - 1)).toBeLessThan(1e-5);
        expect(areaIndex([area ?? []]).areaOf(place.lon, place.lat)).toBe(0);
      });
    });

  it('are refused without a coordinate system, with the coordinates to guess it from, and read with it', async () => {
    const found = await read('utm.shp', ['utm.dbf', 'utm.shx']);
    expect(found.ok || [found.failure.code, Boolean(found.failure.coordinates)]).toEqual(['crs', true]);
    const told = await read('utm.shp', ['utm.dbf', 'utm.shx'], { crs: 'EPSG:26917' });
    expect(told.ok && Math.abs(told.value.outlines[0].place.lon + 82.356) < 1e-3).toBe(true);
  });

  it('come from a boundary that was walked, where it ends at its start', async () => {
    const found = await read('boundary.gpx');
    if (!found.ok) throw new Error(found.failure.what);
    expect(found.value.outlines).toHaveLength(1);
    expect(named(found.value)).toEqual(['Round the upper pasture']);
    // Of the upper pasture all but the corner that the walk cut: 11 m by 692 m, halved.
    expect(found.value.outlines[0].squareMetres).toBeGreaterThan(0.99 * AREAS[0]);
    expect(found.value.notes.map((n) => n.what).join('\n')).toContain(
      '1 that do not come back to their start',
    );
  });

  it('are places where the file holds places', async () => {
    const found = await text(
      'spots.geojson',
      collection([{ properties: { label: 'Gate' }, geometry: { type: 'Point', coordinates: [-82.3, 39] } }]),
    );
    expect(found.ok && [found.value.kind, found.value.outlines]).toEqual([
      'point',
      [{ texts: ['Gate'], area: null, place: { lon: -82.3, lat: 39 }, squareMetres: 0 }],
    ]);
  });

  it('are mended where that is safe, and left out, and said, where they have no ground', async () => {
    // Three corners on one line.
    const line = [
      [-82.3, 39],
      [-82.2, 39],
      [-82.1, 39],
      [-82.3, 39],
    ];
    const flat = { type: 'Polygon', coordinates: [line] };
    const spike = [
      [-82, 39],
      [-81.99, 39],
      [-81.99, 39.01],
      [-81.99, 39.02],
      [-81.99, 39.01],
      [-82, 39.01],
      [-82, 39],
    ];
    const found = await text(
      'odd.geojson',
      collection([{ geometry: flat }, { geometry: { type: 'Polygon', coordinates: [spike] } }]),
    );
    if (!found.ok) throw new Error(found.failure.what);
    expect(found.value.outlines).toHaveLength(1);
    expect(found.value.outlines[0].area?.[0][0]).toHaveLength(5);
    const notes = found.value.notes.map((n) => n.what).join('\n');
    expect(notes).toContain('1 without ground inside: left out');
    expect(notes).toContain('spike');
    const none = await text('flat.geojson', collection([{ geometry: flat }]));
    expect(none.ok || none.failure.what).toContain('no outline with ground');
  });

  it('are the nearest to the planting where there are more than anybody can choose from', async () => {
    const features = Array.from({ length: 800 }, (_, i) => ({
      properties: { parcel: `P${i}` },
      geometry: square(-90 + i / 100, 39),
    }));
    const found = await text('parcels.geojson', collection(features), { lon: -90 + 7.9, lat: 39 });
    if (!found.ok) throw new Error(found.failure.what);
    expect([found.value.count, found.value.outlines.length]).toEqual([800, MOST_OUTLINES]);
    expect(named(found.value).slice(0, 3)).toEqual(['P790', 'P791', 'P789']);
    expect(named(found.value)).not.toContain('P299');
    expect(found.value.notes.map((n) => n.what).join('\n')).toContain('holds 800; the 500 nearest');
  });

  it('cannot come from pictures, tables, open lines or a file of nonsense, each with its sentence', async () => {
    const open = await text(
      'way.geojson',
      collection([
        {
          geometry: {
            type: 'LineString',
            coordinates: [
              [-82, 39],
              [-82, 39.1],
              [-82.1, 39.1],
              [-82.2, 39],
            ],
          },
        },
      ]),
    );
    expect(open.ok || open.failure.what).toContain('none of which comes back to its start');
    const raster = await siteOutlines(
      memorySource('hills.tif', new Uint8Array(readFileSync('tests/fixtures/county/hills.tif'))),
      {},
      null,
      {},
    );
    expect(raster.ok || raster.failure.what).toContain('is a picture');
    const table = await siteOutlines(
      memorySource('trees.csv', new TextEncoder().encode('a;b\n1;2\n')),
      {},
      null,
      {},
    );
    expect(table.ok || table.failure.what).toContain('is a table');
    const nonsense = await siteOutlines(memorySource('fields.shp', new Uint8Array([1, 2, 3])), {}, null, {});
    expect(nonsense.ok).toBe(false);
  });

  it('stop being read when the work is called off', async () => {
    class Stopped extends Error {
      override name = 'Cancelled';
    }
    const work = { pause: () => Promise.reject(new Stopped()) };
    await expect(
      siteOutlines(memorySource('fields.geojson', bytes('fields.geojson')), {}, null, work),
    ).rejects.toThrow(Stopped);
  });
});
