// Shapefiles written by GDAL 3.6.2 (tests/fixtures/vectors/shapefiles/make.sh), with what GDAL reads from them in degrees
// (expected.json beside it).
import type { FeatureCollection, MultiLineString, MultiPoint, MultiPolygon, Point } from 'geojson';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Failure } from '../../../src/domain/base/result.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const folder = new URL('../../fixtures/vectors/shapefiles/', import.meta.url);
const bytesOf = (file: string): Uint8Array => new Uint8Array(readFileSync(new URL(file, folder)));
const files = readdirSync(folder);
const expected = JSON.parse(readFileSync(new URL('expected.json', folder), 'utf8')) as {
  oaks: FeatureCollection<Point | null>;
  zones: FeatureCollection<MultiPolygon>;
  trails: FeatureCollection<MultiLineString>;
  clumps: FeatureCollection<MultiPoint>;
};

type Mend = (bytes: Uint8Array, extension: string) => Uint8Array | null;

/** The shapefile with all its parts beside it; `mend` changes a part or takes it away. */
function open(name: string, options: ReadOptions = {}, mend: Mend = (bytes) => bytes) {
  const base = name.replace(/\.[^.]*$/, '');
  const parts = files
    .filter((f) => /^[^.]*/.exec(f)?.[0] === base && /\.(shp|dbf|prj|cpg|shx)$/.test(f))
    .flatMap((f) => {
      const bytes = mend(bytesOf(f), f.split('.').at(-1) ?? '');
      return bytes ? [{ name: f, bytes }] : [];
    });
  const own = parts.find((p) => p.name === name);
  if (!own) throw new Error(`${name} is missing`);
  return openSource(memorySource(name, own.bytes, parts), options);
}

async function read(...args: Parameters<typeof open>): Promise<Opened> {
  const opened = await open(...args);
  if (!opened.ok) throw new Error(`${opened.failure.where} ${opened.failure.what}`);
  return opened.value;
}

async function failureOf(...args: Parameters<typeof open>): Promise<Failure> {
  const opened = await open(...args);
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

const spots = (opened: Opened) => {
  if (opened.content.kind !== 'point') throw new Error('points were expected');
  return opened.content.features;
};
const areas = (opened: Opened) => {
  if (opened.content.kind !== 'polygon') throw new Error('polygons were expected');
  return opened.content.features;
};
const notesOf = (opened: Opened): string[] => opened.notes.map((n) => n.what);

/** All numbers of nested lists, for comparing positions one by one. */
const numbers = (value: unknown): number[] =>
  Array.isArray(value) ? value.flatMap(numbers) : [value as number];

function expectNear(got: unknown, want: unknown): void {
  const [a, b] = [numbers(got), numbers(want)];
  expect(a.length).toBe(b.length);
  // About 0.1 mm.
  for (let i = 0; i < a.length; i++) expect(Math.abs(a[i] - b[i])).toBeLessThan(1e-9);
}

/** Which ring lies where does not depend on where it begins or how it turns. */
const ringKeys = (polygons: ReadonlyArray<ReadonlyArray<ReadonlyArray<readonly number[]>>>) =>
  polygons
    .map((rings) =>
      rings.map((ring) =>
        ring
          .slice(1)
          .map(([x, y]) => `${x.toFixed(7)},${y.toFixed(7)}`)
          .sort()
          .join(' '),
      ),
    )
    .map(([outer, ...holes]) => [outer, ...holes.sort()].join('; '))
    .sort();

describe('a shapefile of points', () => {
  const wanted = expected.oaks.features.filter((f) => f.geometry);

  it.each(['oaks.shp', 'oaks-1252.shp', 'oaks-dos.shp', 'oaks-latin1-no-cpg.shp', 'oaks-utf8-no-cpg.shp'])(
    '%s: places, accents, dates and numbers as GDAL reads them',
    async (file) => {
      const opened = await read(file);
      expect(opened).toMatchObject({ file, format: 'shapefile', crs: 'NAD_1983_UTM_Zone_17N', count: 3 });
      for (const [i, want] of wanted.entries()) {
        const { lon, lat, attributes } = spots(opened)[i];
        expectNear([lon, lat], want.geometry?.coordinates);
        // A whole number that a number does not hold to the unit stays a text.
        const big = (want.properties as { big: number | null }).big;
        const exact = big === null || Number.isSafeInteger(big) ? big : '9007199254740993';
        expect(attributes).toEqual({ ...want.properties, big: exact });
      }
      expect(notesOf(opened)).toContain('no geometry: left out (1 feature)');
      expect(notesOf(opened).filter((n) => /encoding/.test(n)).length).toBe(file.includes('latin1') ? 1 : 0);
    },
  );

  it('with an encoding that is not the one of the texts: read as Windows-1252 with a note', async () => {
    const utf8 = new TextEncoder().encode('UTF-8');
    const opened = await read('oaks-1252.shp', {}, (bytes, ext) => (ext === 'cpg' ? utf8 : bytes));
    expect(spots(opened)[0].attributes['name']).toBe('Chêne à gros fruits');
    expect(notesOf(opened).join()).toMatch(/says that it is in UTF-8; 2 texts are not/);
    const other = new TextEncoder().encode('Nonsense 7');
    const unknown = await read('oaks-1252.shp', {}, (bytes, ext) => (ext === 'cpg' ? other : bytes));
    expect(notesOf(unknown).join()).toMatch(/names the encoding "Nonsense 7"/);
  });

  it('with heights and measures: dropped with a note', async () => {
    const [zm, m] = [await read('oaks-zm.shp'), await read('oaks-m.shp')];
    expect(notesOf(zm)).toContain('heights were dropped (3 features)');
    expect(notesOf(m)).toContain('measures along the shapes (M) were dropped (3 features)');
    for (const opened of [zm, m]) expect(spots(opened)).toEqual(spots(await read('oaks.shp')));
  });

  it('of several points a record: one spot for each', async () => {
    for (const file of ['clumps.shp', 'clumps-z.shp']) {
      const places = spots(await read(file)).map((s) => [s.attributes['clump'], s.lon, s.lat]);
      const want = expected.clumps.features.flatMap((f) =>
        f.geometry.coordinates.map(([x, y]) => [(f.properties as { clump: number }).clump, x, y]),
      );
      expectNear(places, want);
    }
  });

  it('without attributes: read, with a note', async () => {
    const opened = await read('oaks.shp', {}, (bytes, ext) => (ext === 'dbf' ? null : bytes));
    expect(opened.count).toBe(3);
    expect(notesOf(opened).join()).toMatch(/no \.dbf beside it/);
  });

  it('with records marked as deleted: left out with a note', async () => {
    const opened = await read('oaks.shp', {}, (bytes, ext) => {
      const out = bytes.slice();
      if (ext === 'dbf') out[new DataView(out.buffer).getUint16(8, true)] = 0x2a;
      return out;
    });
    expect(spots(opened).map((s) => s.attributes['tag'])).toEqual(['008', '009']);
    expect(notesOf(opened).join()).toMatch(/marked as deleted were left out \(1/);
  });
});

describe('a shapefile of areas', () => {
  it('gives parts and holes as GDAL does: islands in lakes, and the hole in the outline around it', async () => {
    const opened = await read('zones.shp');
    expect(opened).toMatchObject({ crs: 'NAD_1983_Contiguous_USA_Albers', count: 3, notes: [] });
    for (const [i, want] of expected.zones.features.entries()) {
      expect(areas(opened)[i].attributes).toEqual(want.properties);
      expect(ringKeys(areas(opened)[i].geometry)).toEqual(ringKeys(want.geometry.coordinates));
    }
  });

  it('with rings that all turn the same wrong way: sorted by which lies in which, with a note', async () => {
    const opened = await read('zones.shp', {}, (bytes, ext) =>
      ext === 'shp' ? turnRings(bytes, () => true) : bytes,
    );
    expect(notesOf(opened).join()).toMatch(/turn the wrong way.*\(3 features\)/);
    for (const [i, want] of expected.zones.features.entries())
      expect(ringKeys(areas(opened)[i].geometry)).toEqual(ringKeys(want.geometry.coordinates));
  });

  // GDAL 3.6.2 gives the same two overlapping outlines from such a file.
  it('with outlines in outlines, all clockwise: as many areas, as the turns say', async () => {
    const opened = await read('zones.shp', {}, (bytes, ext) =>
      ext === 'shp' ? turnRings(bytes, (area) => area > 0) : bytes,
    );
    expect(areas(opened)[0].geometry.map((rings) => rings.length)).toEqual([1, 1, 1, 1]);
  });

  it('without .prj: asks for the coordinate system, and tells where its positions run', async () => {
    const failure = await failureOf('zones-no-prj.shp');
    expect(failure).toMatchObject({
      code: 'crs',
      where: 'zones-no-prj.shp',
      // ogrinfo -so zones.shp: Extent.
      coordinates: [700000, 1900000, 704000, 1901000],
    });
    expect(failure.what).toMatch(/does not say its coordinate system/);
    const given = await read('zones-no-prj.shp', { crs: 'EPSG:5070' });
    expect(areas(given).map((a) => a.geometry)).toEqual(
      areas(await read('zones.shp')).map((a) => a.geometry),
    );
  });
});

/** The .shp with every ring reversed that `which` says (by its signed area; clockwise is negative). */
function turnRings(bytes: Uint8Array, which: (area: number) => boolean): Uint8Array {
  const out = bytes.slice();
  const view = new DataView(out.buffer);
  for (let at = 100; at < out.length; at += 8 + view.getInt32(at + 4) * 2) {
    const parts = view.getInt32(at + 8 + 36, true);
    const points = view.getInt32(at + 8 + 40, true);
    const first = at + 8 + 44 + 4 * parts;
    for (let p = 0; p < parts; p++) {
      const from = view.getInt32(at + 8 + 44 + 4 * p, true);
      const to = p + 1 < parts ? view.getInt32(at + 8 + 48 + 4 * p, true) : points;
      const ring = Array.from({ length: to - from }, (_, i) => [
        view.getFloat64(first + 16 * (from + i), true),
        view.getFloat64(first + 16 * (from + i) + 8, true),
      ]);
      const area = ring.slice(1).reduce((s, [x, y], i) => s + ring[i][0] * y - x * ring[i][1], 0) / 2;
      if (which(area)) ring.reverse();
      ring.forEach(([x, y], i) => {
        view.setFloat64(first + 16 * (from + i), x, true);
        view.setFloat64(first + 16 * (from + i) + 8, y, true);
      });
    }
  }
  return out;
}

describe('a shapefile of lines', () => {
  it('gives several parts, without their heights', async () => {
    const opened = await read('trails.shp');
    expect(opened.crs).toBe('GCS_North_American_1983');
    if (opened.content.kind !== 'line') throw new Error('lines were expected');
    const want = expected.trails.features.map((f) => {
      const { type, coordinates } = f.geometry as
        MultiLineString | { type: 'LineString'; coordinates: number[][] };
      return (type === 'LineString' ? [coordinates] : coordinates).map((l) => l.map(([x, y]) => [x, y]));
    });
    expectNear(opened.content.features.map((t) => t.lines), want); // prettier-ignore
    expect(notesOf(opened)).toContain('heights were dropped (2 features)');
  });
});

describe('what is no shapefile that can be read', () => {
  it('surfaces in space: a sentence', async () => {
    expect(await failureOf('surfaces.shp')).toMatchObject({ code: 'content', where: 'surfaces.shp' });
    expect((await failureOf('surfaces.shp')).what).toMatch(/MultiPatch/);
  });

  it.each(['oaks.dbf', 'oaks.shx', 'oaks.prj'])('%s alone: says to bring the .shp too', async (name) => {
    expect((await failureOf(name)).todo).toMatch(/Bring oaks\.shp together with/);
  });

  it('shapes and a table of another number: refused, since rows would go to the wrong shapes', async () => {
    const failure = await failureOf('oaks.shp', {}, (bytes, ext) =>
      ext === 'dbf' ? bytesOf('zones.dbf') : bytes,
    );
    expect(failure).toMatchObject({ code: 'format', where: 'oaks.shp' });
    expect(failure.what).toMatch(/4 shapes, but its \.dbf has 3 records/);
  });
});
