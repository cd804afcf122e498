/**
 * Coordinate systems against GDAL 3.6.2 / PROJ 9.1 (Debian gdal-bin): tests/fixtures/crs/expected.json, made by make.mjs
 * beside it with gdaltransform and gdalsrsinfo; points.json and zones.json, made by points.mjs with cs2cs. GeoTIFF keys are checked by reading the rasters of fixtures/rasters,
 * which GDAL wrote (sampling.test.ts). One published worked example: Snyder 1987, USGS Professional Paper 1395.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { crsFrom, type Crs } from '../../src/io/crs/crs.ts';
import { crsFromGeoKeys } from '../../src/io/crs/crsGeoKeys.ts';

type Row = [lon: number, lat: number, x: number, y: number];
interface Expected {
  byCode: Record<string, Row[]>;
  byText: Array<{ code: string; places: Row[]; forms: Record<string, string> }>;
  shifted: Record<string, Row[]>;
  compound: string;
}
const expected = JSON.parse(
  readFileSync(new URL('../fixtures/crs/expected.json', import.meta.url), 'utf8'),
) as Expected;

async function crs(text: string): Promise<Crs> {
  const made = await crsFrom(text, 'file');
  if (!made.ok) throw new Error(`${made.failure.what} ${made.failure.todo}`);
  return made.value;
}

/** Farthest that our coordinates are from GDAL's, and our degrees from the places, in metres or feet (degrees x 111,320). */
function farthest(system: Crs, rows: Row[]): number {
  const unit = system.geographic ? 111_320 : 1;
  const column = (k: number) => Float64Array.from(rows, (r) => r[k]);
  const { x, y } = system.forward(column(0), column(1));
  const { lon, lat } = system.inverse(column(2), column(3));
  return Math.max(
    ...rows.map(([wantLon, wantLat, wantX, wantY], i) =>
      Math.max(
        unit * Math.hypot(x[i] - wantX, y[i] - wantY),
        111_320 * Math.hypot(lon[i] - wantLon, lat[i] - wantLat),
      ),
    ),
  );
}

describe('built-in codes give GDAL’s coordinates within a millimetre', () => {
  for (const [code, rows] of Object.entries(expected.byCode))
    it(code, async () => {
      const system = await crs(code);
      expect(system.name).toBe(code);
      expect(farthest(system, rows)).toBeLessThan(1e-3);
    });
});

describe('realisations of NAD83 are taken as one: GDAL’s shifts between them are under two metres', () => {
  for (const [code, rows] of Object.entries(expected.shifted))
    it(code, async () => expect(farthest(await crs(code), rows)).toBeLessThan(2));
});

describe('texts of any form give GDAL’s coordinates within two millimetres', () => {
  for (const { code, places, forms } of expected.byText)
    for (const [form, text] of Object.entries(forms))
      it(`${code} as ${form}`, async () => expect(farthest(await crs(text), places)).toBeLessThan(2e-3));

  it('a compound system with heights is read as its horizontal part', async () => {
    expect(farthest(await crs(expected.compound), expected.byCode['EPSG:5070'])).toBeLessThan(1e-3);
  });
});

describe('worked examples of Snyder 1987 (USGS Professional Paper 1395, appendix A)', () => {
  it('Albers, ellipsoid (pages 292-294): 35 N, 75 W', async () => {
    // Clarke 1866, parallels 29.5 and 45.5, origin 23 N 96 W: x = 1885472.7 m, y = 1535925.0 m. From memory of the table.
    const made = await crs(
      '+proj=aea +lat_1=29.5 +lat_2=45.5 +lat_0=23 +lon_0=-96 +a=6378206.4 +b=6356583.8 +units=m +no_defs',
    );
    const { x, y } = made.forward(Float64Array.of(-75), Float64Array.of(35));
    expect(x[0]).toBeCloseTo(1885472.7, 0);
    expect(y[0]).toBeCloseTo(1535925.0, 0);
  });
});

describe('keys of GeoTIFF', () => {
  const base = { GTModelTypeGeoKey: 1, ProjectedCSTypeGeoKey: 32767, GeographicTypeGeoKey: 4269 };
  const kentucky = expected.byText.find((t) => t.code === 'EPSG:3089') as (typeof expected.byText)[0];

  it('false easting and northing are in the unit of the coordinates (US feet)', async () => {
    const made = await crsFromGeoKeys(
      {
        ...base,
        ProjCoordTransGeoKey: 8,
        ProjLinearUnitsGeoKey: 9003,
        ProjStdParallel1GeoKey: 37 + 5 / 60,
        ProjStdParallel2GeoKey: 38 + 40 / 60,
        ProjFalseOriginLatGeoKey: 36 + 20 / 60,
        ProjFalseOriginLongGeoKey: -85.75,
        ProjFalseOriginEastingGeoKey: 4921250,
        ProjFalseOriginNorthingGeoKey: 3280833.333,
        PCSCitationGeoKey: 'Kentucky, one zone|',
      },
      'file',
    );
    if (!made.ok) throw new Error(made.failure.what);
    expect(made.value.name).toBe('Kentucky, one zone');
    expect(farthest(made.value, kentucky.places)).toBeLessThan(5e-3);
  });

  it('a code that is not known is used where the file spells it out as well, else refused', async () => {
    const spelled = {
      ...base,
      ProjectedCSTypeGeoKey: 26957,
      ProjCoordTransGeoKey: 1,
      ProjNatOriginLatGeoKey: 38,
      ProjNatOriginLongGeoKey: -75 - 25 / 60,
      ProjScaleAtNatOriginGeoKey: 0.999995,
      ProjFalseEastingGeoKey: 200000,
      ProjFalseNorthingGeoKey: 0,
    };
    const made = await crsFromGeoKeys(spelled, 'file');
    if (!made.ok) throw new Error(made.failure.what);
    const want = expected.byText.find((t) => t.code === 'EPSG:26957');
    expect(farthest(made.value, want?.places ?? [])).toBeLessThan(2e-3);

    const unknown = await crsFromGeoKeys({ ...spelled, ProjectedCSTypeGeoKey: 32699 }, 'file');
    if (!unknown.ok) throw new Error(unknown.failure.what);
    expect(farthest(unknown.value, want?.places ?? [])).toBeLessThan(2e-3);

    const only = await crsFromGeoKeys({ ...base, ProjectedCSTypeGeoKey: 32699 }, 'file');
    expect(only).toMatchObject({
      ok: false,
      failure: { code: 'crs', what: expect.stringContaining('32699') as string },
    });
    if (!only.ok) expect(only.failure.todo).toMatch(/PROJ string or WKT/);
  });

  it('a UTM zone by its projection code', async () => {
    const made = await crsFromGeoKeys({ ...base, ProjectionGeoKey: 16018 }, 'file');
    if (!made.ok) throw new Error(made.failure.what);
    expect(farthest(made.value, expected.byCode['EPSG:26918'])).toBeLessThan(1e-3);
  });

  it('no keys at all, an unknown projection, an unknown datum: one sentence each', async () => {
    for (const keys of [
      null,
      { GTModelTypeGeoKey: 1 },
      { ...base, ProjCoordTransGeoKey: 3 },
      { ...base, GeographicTypeGeoKey: 32767, ProjCoordTransGeoKey: 1 },
    ])
      expect(await crsFromGeoKeys(keys, 'file')).toMatchObject({ ok: false, failure: { code: 'crs' } });
  });
});

describe('what cannot be used is refused in words', () => {
  for (const [text, word] of [
    ['EPSG:99999', 'not known here'],
    ['EPSG:5703', 'not known here'],
    ['+proj=longlat +ellps=bessel +nadgrids=own.gsb +no_defs', 'shift grid'],
    ['+proj=longlat +datum=Atlantis', 'datum Atlantis'],
    ['+proj=longlat +ellps=potato', 'ellipsoid'],
    ['+proj=longlat +ellps=bessel +towgs84=1,2', 'three or seven numbers'],
    ['+proj=geocent +datum=WGS84', 'no positions on a map'],
    ['LOCAL_CS["a grid of our own",UNIT["metre",1]]', 'cannot be used'],
    ['{"type":"VerticalCRS"}', 'cannot be used'],
    ['{"type":', 'not valid JSON'],
    ['+proj=nonsense +datum=WGS84', 'projection nonsense is not known'],
    ['+proj=tmerc +lon_0=-85 +datum=WGS84 +axis=neu', 'axes'],
    ['+proj=tmerc +lon_0=-85 +datum=WGS84 +to_meter=0', 'unit'],
    ['+proj=utm +datum=WGS84', 'cannot be used'],
    ['GEOGCS["broken"', 'cannot be used'],
    ['Wisconsin', 'not understood'],
    ['', 'not understood'],
  ])
    it(text, async () => {
      const made = await crsFrom(text, 'file');
      expect(made.ok).toBe(false);
      if (!made.ok) expect(made.failure.what).toContain(word);
    });

  it('names of the same system', async () => {
    for (const text of [
      '5070',
      'epsg:5070',
      'urn:ogc:def:crs:EPSG::5070',
      'http://www.opengis.net/def/crs/EPSG/0/5070',
      'http://www.opengis.net/gml/srs/epsg.xml#5070',
      '+init=epsg:5070',
    ])
      expect((await crs(text)).name).toBe('EPSG:5070');
    for (const text of ['urn:ogc:def:crs:OGC:1.3:CRS84', 'OGC:CRS84', 'CRS:84'])
      expect((await crs(text)).name).toBe('EPSG:4326');
  });

  it('positions that are not numbers have no place', async () => {
    const { x } = (await crs('EPSG:5070')).forward(Float64Array.of(NaN, -90), Float64Array.of(40, Infinity));
    expect(Array.from(x)).toEqual([NaN, NaN]);
  });
});

interface Points {
  points: Record<string, Row[]>;
}
interface Zones {
  zones: Array<[code: string, ...Row]>;
  others: Array<[code: string, ...Row]>;
}
const fixture = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../fixtures/crs/${name}`, import.meta.url), 'utf8'));

describe('within 0.05 m of cs2cs at 160 places each', () => {
  const { points } = fixture('points.json') as Points;
  // In fact 0.1 mm there, 1.1 mm back.
  const codes = ['4326', '5070', '3857', '26916', '32616', '2264', '3035', '27700'];
  it.each(codes)('EPSG:%s', async (code) => {
    const system = await crs(`EPSG:${code}`);
    const rows = points[`EPSG:${code}`];
    expect(rows.length).toBe(160);
    const off = farthest(system, rows) * (system.unit === 'feet' ? 0.3048 : 1);
    expect(off).toBeLessThan(0.05);
  });

  it('27700 by the Helmert transformation that PROJ uses (EPSG:1314), whose accuracy is stated', async () => {
    const system = await crs('EPSG:27700');
    expect(system.accuracyMetres).toBe(2);
    expect(system.note).toMatch(/OSGB36.*seven-parameter.*EPSG:1314.*good to about 2 m/);
  });
});

describe('codes of the table', () => {
  const { zones, others } = fixture('zones.json') as Zones;

  it('give cs2cs’s coordinates within a centimetre: zones, states and provinces of eastern North America', async () => {
    for (const [code, ...row] of zones) {
      const system = await crs(code);
      expect(system.name).toBe(code);
      expect(system.note, code).toBeNull();
      expect(farthest(system, [row]) * (system.unit === 'feet' ? 0.3048 : 1), code).toBeLessThan(0.01);
    }
    expect(zones.length).toBeGreaterThan(100);
  });

  it('on other datums: within twice the stated accuracy of what PROJ chooses for the place', async () => {
    for (const [code, lon, lat, x, y] of others) {
      const system = await crs(code);
      const accuracy = system.accuracyMetres;
      expect(accuracy, code).toBeGreaterThan(0);
      expect(system.note, code).toMatch(/shifted to WGS 84/);
      expect(farthest(system, [[lon, lat, x, y]]), `${code} ${accuracy}`).toBeLessThan(2 * (accuracy ?? 0));
    }
  });
});

interface Texts {
  systems: Array<{ code: string; geographic: string; places: Row[]; forms: Record<string, string> }>;
  bound: { places: Row[]; forms: Record<string, string> };
  compound: { places: Row[]; forms: Record<string, string> };
  twins: Array<{ code: string; lon: number; lat: number; forms: Record<string, string> }>;
}

describe('texts without a code for the whole: WKT 1, ESRI’s WKT, WKT 2 (2015, 2019), PROJJSON, PROJ strings', () => {
  const { systems, bound, compound, twins } = fixture('texts.json') as Texts;

  for (const { code, geographic, places, forms } of systems)
    it.each(Object.entries(forms))(`${code} as %s`, async (form, text) => {
      // A spherical method on an ellipsoid is refused where its name says so.
      if (code === 'EPSG:9311' && /^(wkt2|projjson)/.test(form)) {
        expect(await crsFrom(text, 'file')).toMatchObject({ ok: false, failure: { code: 'crs' } });
        return;
      }
      const system = await crs(text);
      // The places are degrees on the system's own datum: they go to WGS 84 and back by the same shift. A PROJ string does
      // not name the datum, so that there is no shift.
      const own = system.note?.includes('not known') ? await crs('EPSG:4326') : await crs(geographic);
      for (const [lon, lat, x, y] of places) {
        const [lon84, lat84] = own.inverseOne(lon, lat);
        expect(farthest(system, [[lon84, lat84, x, y]])).toBeLessThan(
          form === 'proj4' && /2056|9311/.test(code) ? 0.5 : 0.002,
        );
      }
    });

  it.each(Object.entries(bound.forms))(
    'a system bound to WGS 84 by seven parameters, as %s',
    async (form, text) => {
      const system = await crs(text);
      expect(system.note).toMatch(
        form === 'wkt_esri' ? /not known/ : /seven-parameter.*EPSG:1314.*about 2 m/,
      );
      // ESRI's form has no place for the shift.
      if (form !== 'wkt_esri') expect(farthest(system, bound.places)).toBeLessThan(0.002);
    },
  );

  it.each(Object.entries(compound.forms))('a compound system with heights, as %s', async (_, text) => {
    expect(farthest(await crs(text), compound.places)).toBeLessThan(0.002);
  });

  for (const { code, lon, lat, forms } of twins)
    it.each(Object.entries(forms))(`${code} as %s is what its code is`, async (_, text) => {
      const [own, other] = [await crs(text), await crs(code)];
      expect(own.name).not.toBe(code);
      const at = other.forward(Float64Array.of(lon), Float64Array.of(lat));
      const back = own.inverseOne(at.x[0], at.y[0]);
      // Texts name the datum, not the area, so that another shift of the same datum may be meant.
      const same = (own.accuracyMetres ?? 0) + (other.accuracyMetres ?? 0) + 0.002;
      expect(111_320 * Math.hypot(back[0] - lon, back[1] - lat)).toBeLessThan(same);
    });

  it('a damaged text is refused, wherever it is cut', async () => {
    for (const { forms } of systems.slice(0, 3))
      for (const form of ['wkt1', 'wkt2_2019', 'projjson'])
        for (let cut = 1; cut < 40; cut++) {
          const text = forms[form].slice(0, Math.floor((forms[form].length * cut) / 40));
          const made = await crsFrom(text, 'file');
          expect(made).toMatchObject({ ok: false, failure: { code: 'crs', where: 'file' } });
        }
  });

  it('brackets without end are refused, not followed', async () => {
    for (const text of ['PROJCS['.repeat(100_000), `GEOGCS["a",${'A['.repeat(5000)}1${']'.repeat(5000)}]`])
      expect(await crsFrom(text, 'file')).toMatchObject({ ok: false });
  });
});
