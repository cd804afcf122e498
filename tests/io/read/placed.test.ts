/** Positions of files: what is offered, mended, left out or refused, through the reader of GeoJSON and the door for features. */
import { describe, expect, it } from 'vitest';
import type { Failure } from '../../../src/domain/base/result.ts';
import { crsFrom, type Crs } from '../../../src/io/crs/crs.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { featuresFrom, type Features, type RawFeature } from '../../../src/io/read/vectors/geometry.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

type Pair = readonly [number, number];
const trees: readonly Pair[] = [[-83.1, 39.2], [-82.9, 39.3], [-83.4, 39.25], [-82.7, 38.9]]; // prettier-ignore
const points = (pairs: readonly Pair[]): RawFeature[] =>
  pairs.map((coordinates, i) => ({ geometry: { type: 'Point', coordinates }, properties: { i } }));
const turned = (pairs: readonly Pair[]): Pair[] => pairs.map(([x, y]) => [y, x]);
const east = (pairs: readonly Pair[]): Pair[] => pairs.map(([x, y]) => [-x, y]);

async function system(text: string): Promise<Crs> {
  const made = await crsFrom(text, 'file');
  if (!made.ok) throw new Error(made.failure.what);
  return made.value;
}
function read(raw: readonly RawFeature[], crs: Crs | null = null, options: ReadOptions = {}): Features {
  const features = featuresFrom(raw, crs, 'trees', options);
  if (!features.ok) throw new Error(features.failure.what);
  return features.value;
}
function refused(raw: readonly RawFeature[], crs: Crs | null = null, options: ReadOptions = {}): Failure {
  const features = featuresFrom(raw, crs, 'trees', options);
  if (features.ok) throw new Error('a failure was expected');
  return features.failure;
}
const said = (f: Features): string => f.notes.map((n) => n.what).join('; ');
const spots = (f: Features): Pair[] =>
  f.content.kind === 'point' ? f.content.features.map((s): Pair => [s.lon, s.lat]) : [];
const BOX = [-83.4, 38.9, -82.7, 39.3];

describe('mistakes of position are offered, nothing is mended unasked', () => {
  it('none in a file that is right', () => {
    expect(read(points(trees))).toMatchObject({ offers: [], notes: [], extent: BOX });
  });

  it.each([
    ['zeros', [...trees, [0, 0] as const], /1 of 5 positions lie at 0, 0/],
    ['sign', east(trees), /all 4 positions lie east of Greenwich/],
    ['axes', turned(trees), /exchanged/],
  ] as const)('%s: what is wrong, and where it would lie', (mend, pairs, what) => {
    const wrong = read(points(pairs));
    expect(wrong.offers).toEqual([{ mend, what: expect.stringMatching(what) as string, extent: BOX }]);
    const mended = read(points(pairs), null, { mend: [mend] });
    expect(spots(mended)).toEqual(trees);
    expect(mended.offers).toEqual([]);
    expect(said(mended)).toMatch(/as asked/);
  });

  it('as they stand, positions stay where the file has them', () => {
    expect(spots(read(points(east(trees))))).toEqual(east(trees));
    // Beyond the poles nothing can be shown: those are left out, and the offer is what remains.
    const beyond = read(points(turned([[-95, 39], [-93, 40]]))); // prettier-ignore
    expect(beyond).toMatchObject({ extent: null, content: { features: [] } });
    expect(beyond.offers).toMatchObject([{ mend: 'axes', extent: [-95, 39, -93, 40] }]);
  });

  it('degrees in a system of metres', async () => {
    const utm = await system('EPSG:26917');
    const wrong = read(points(trees), utm);
    expect(wrong.offers).toMatchObject([{ mend: 'degrees', extent: BOX }]);
    expect(wrong.offers[0].what).toMatch(/look like degrees.*metres \(EPSG:26917\)/);
    const mended = read(points(trees), utm, { mend: ['degrees'] });
    expect(spots(mended)).toEqual(trees);
    expect(mended.offers).toEqual([]);
  });

  it('axes in a system of metres: northing before easting', async () => {
    const utm = await system('EPSG:26917');
    const x = trees.map((p) => utm.forward(Float64Array.of(p[0]), Float64Array.of(p[1])));
    const pairs = x.map((p): Pair => [p.y[0], p.x[0]]);
    expect(read(points(pairs), utm).offers).toMatchObject([{ mend: 'axes' }]);
    const mended = spots(read(points(pairs), utm, { mend: ['axes'] }));
    mended.forEach((p, i) => {
      expect(p[0]).toBeCloseTo(trees[i][0], 8);
      expect(p[1]).toBeCloseTo(trees[i][1], 8);
    });
  });

  it('one after the other, where a file has several', async () => {
    const utm = await system('EPSG:26917');
    const pairs = [...turned(east(trees)), [0, 0] as const];
    const mend: NonNullable<ReadOptions['mend']>[number][] = [];
    for (let round = 0; round < 6; round++) {
      const { offers } = read(points(pairs), utm, { mend });
      if (offers.length === 0) break;
      mend.push(offers[0].mend);
    }
    expect([...mend].sort()).toEqual(['axes', 'degrees', 'sign', 'zeros']);
    expect(spots(read(points(pairs), utm, { mend }))).toEqual(trees);
  });

  it('a mend that does not apply changes nothing', () => {
    const all: ReadOptions = { mend: ['zeros', 'sign', 'degrees'] };
    expect(spots(read(points(trees), null, all))).toEqual(trees);
  });

  it('lines lose their positions at 0, 0 and keep the others', () => {
    const track = { type: 'LineString', coordinates: [[-83, 39], [0, 0], [-83.1, 39.1]] }; // prettier-ignore
    const raw = [{ geometry: track, properties: null }];
    expect(read(raw).offers).toMatchObject([{ mend: 'zeros' }]);
    expect(read(raw, null, { mend: ['zeros'] }).content).toMatchObject({
      features: [{ lines: [[[-83, 39], [-83.1, 39.1]]] }], // prettier-ignore
    });
  });
});

describe('a coordinate system that cannot be is said', () => {
  const metres: Pair[] = [[1_111_949, 1_851_083], [1_146_500, 1_912_519]]; // prettier-ignore
  const coordinates = [1_111_949, 1_851_083, 1_146_500, 1_912_519];

  it('metres in a file that does not say: the system is missing, and the box is given to guess from', () => {
    expect(refused(points(metres))).toMatchObject({ code: 'crs', coordinates });
    expect(refused(points(metres)).what).toMatch(/does not say its coordinate system/);
  });

  it('metres in a file that says degrees', async () => {
    const failure = refused(points(metres), await system('EPSG:4269'));
    expect(failure).toMatchObject({ code: 'crs', coordinates });
    expect(failure.what).toMatch(/not degrees, as EPSG:4269/);
  });

  it('a system that has no place for the numbers', async () => {
    const failure = refused(points([[9e9, 9e9]]), await system('EPSG:3035')); // prettier-ignore
    expect(failure.code).toBe('crs');
    expect(failure.what).toMatch(/no place on the earth|no feature with a usable position/);
  });

  it('through the door: GeoJSON without "crs" that holds metres', async () => {
    const text = JSON.stringify({
      type: 'FeatureCollection',
      features: points(metres).map((f) => ({ type: 'Feature', ...f })),
    });
    const bytes = new TextEncoder().encode(text);
    const opened = await openSource(memorySource('trees.geojson', bytes));
    expect(opened).toMatchObject({ ok: false, failure: { code: 'crs', coordinates } });
    const chosen = await openSource(memorySource('trees.geojson', bytes), { crs: 'EPSG:5070' });
    if (!chosen.ok) throw new Error(chosen.failure.what);
    const { extent, offers }: Opened = chosen.value;
    expect(offers).toEqual([]);
    // The corners by cs2cs (PROJ 9.1.1): 39 N 83 W and 39.5 N 82.5 W.
    [-83, 39, -82.5, 39.5].forEach((v, i) => expect(extent?.[i]).toBeCloseTo(v, 5));
  });

  it('what the datum is good for is noted', async () => {
    const utm27 = await system('EPSG:26717');
    expect(said(read(points([[330_000, 4_340_000]]), utm27))).toMatch(/NAD27.*about 13 m/); // prettier-ignore
  });
});

describe('single positions that cannot be', () => {
  it('are left out with a note: not numbers, without end, beyond the poles', () => {
    const raw = points([...trees, [NaN, 39], [Infinity, 39], [-83, 95], [-83, 1e308], [720, 39]]);
    const features = read(raw);
    expect(spots(features)).toEqual(trees);
    expect(said(features)).toBe(
      'a position that is not two numbers: left out (2 features); a position that is not on the earth: left out (3 features)',
    );
  });

  it('heights and measures, some or all, are dropped with a note', () => {
    const line = (coordinates: unknown): RawFeature => ({
      geometry: { type: 'LineString', coordinates },
      properties: null,
    });
    const features = read([
      line([[-83, 39, 300], [-83.1, 39.1]]),
      line([[-83, 39, 300, 12], [-83.1, 39.1, null, 13]]),
      line([[-83, 39], [-83.1, 39.1]]),
    ]); // prettier-ignore
    expect(said(features)).toBe('heights were dropped (2 features)');
    if (features.content.kind !== 'line') throw new Error('lines');
    for (const f of features.content.features) expect(f.lines).toEqual([[[-83, 39], [-83.1, 39.1]]]); // prettier-ignore
  });
});

describe('the date line', () => {
  const box = (w: number, s: number, e: number, n: number): RawFeature => ({
    geometry: { type: 'Polygon', coordinates: [[[w, s], [e, s], [e, n], [w, n], [w, s]]] }, // prettier-ignore
    properties: null,
  });

  it('longitudes from 0 to 360 are brought into range, a feature at a time', () => {
    const features = read([box(276, 38, 277, 39), box(278, 38, 279, 39)]);
    expect(features.extent).toEqual([-84, 38, -81, 39]);
    expect(said(features)).toBe('longitudes above 180 were brought below 0 (2 features)');
    expect(features.offers).toEqual([]);
  });

  it('a feature across it is not torn apart, nor taken for a mistake', () => {
    const features = read([box(175, -18, 185, -16), box(-180, -18, -179, -16)]);
    expect(features).toMatchObject({ extent: [-180, -18, 185, -16], offers: [], notes: [] });
  });

  it('nor is a legal box in Asia, or data on both sides of Greenwich', () => {
    for (const raw of [
      [box(100, 10, 140, 45)],
      [box(68, 8, 97, 35)],
      [box(-9, 36, 30, 60)],
      [box(26, 36, 45, 42)],
    ])
      expect(read(raw).offers).toEqual([]);
  });
});
