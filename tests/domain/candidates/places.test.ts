/** Positions and species of tables, with a stand-in for the coordinate systems; those of io are in tests/jobs/tables.test.ts. */
import { describe, expect, test } from 'vitest';
import { fail, ok } from '../../../src/domain/base/result.ts';
import { Cancelled } from '../../../src/domain/base/work.ts';
import { tableOf } from '../../../src/domain/base/table.ts';
import { candidatesFrom } from '../../../src/domain/candidates/table/fromTable.ts';
import { previewRows } from '../../../src/domain/candidates/table/mapping.ts';
import { farRows, mendPlaces } from '../../../src/domain/candidates/table/mends.ts';
import type { TableReading } from '../../../src/domain/candidates/table/reading.ts';
import { unsettledNames } from '../../../src/domain/candidates/table/unsettledNames.ts';

/** Metres that are a millionth of a degree, so that what a system was given can be read off. */
const systems: NonNullable<TableReading['systems']> = (crs) =>
  Promise.resolve(
    crs === 'EPSG:4267'
      ? fail('crs', 'f', 'is on the old datum NAD27', 'Convert it.')
      : ok({
          name: crs,
          geographic: crs === 'EPSG:4230',
          inverse: (x: Float64Array, y: Float64Array) => ({
            lon: x.map((v) => v / -1e4),
            lat: y.map((v) => v / 1e5),
          }),
        }),
  );

const table = (header: string, lines: readonly string[], d = ';') =>
  tableOf(
    header.split(d),
    lines.map((l) => l.split(d)),
  );
async function read(header: string, lines: readonly string[], how: TableReading = {}) {
  const r = await candidatesFrom(table(header, lines), 't.csv', { systems, ...how });
  if (!r.ok)
    return { failure: r.failure, lon: [], lat: [], notes: [], offers: [], candidates: null, unsettled: [] };
  const { candidates, offers, unsettled } = r.value;
  const notes = r.value.notes
    .map((n) => `${n.where}: ${n.what}`)
    .filter((n) => !n.includes('no column for the species'));
  return {
    failure: null,
    lon: [...candidates.lon],
    lat: [...candidates.lat],
    notes,
    offers,
    candidates,
    unsettled,
  };
}

describe('degrees', () => {
  test('hemispheres in the header give the sign that the cells lack', async () => {
    const r = await read('id;Lat N;Long W', ['a;38.1;84.5', 'b;38.2;-84.6', `c;38 7.5;84° 30'`]);
    expect(r.lon).toEqual([-84.5, -84.6, -84.5]);
    expect(r.lat).toEqual([38.1, 38.2, 38.125]);
    expect(r.notes).toEqual([]);
  });
  test('letters tell longitude from latitude whatever the header says', async () => {
    const r = await read('id;lon;lat', ['a;38.1 N;84.5 W', 'b;84.6 W;38.2 N']);
    expect([r.lon, r.lat]).toEqual([
      [-84.5, -84.6],
      [38.1, 38.2],
    ]);
  });
  test('decimal commas', async () => {
    const r = await read('id;lon;lat;dbh_cm', [
      'a;-84,5037;38,0402;1.047,5',
      'b;-84,512;38,125;61,5',
      'c;-84,6;38,2;12,125',
    ]);
    expect(r.lon).toEqual([-84.5037, -84.512, -84.6]);
    expect([...(r.candidates?.dbh ?? [])]).toEqual([NaN, 61.5, 12.125]);
    expect(r.notes).toEqual([expect.stringMatching(/row 2, dbh: "1.047,5" is not a diameter of a tree/)]);
  });
  test('a comma that may mean either is read as decimal, and it is said', async () => {
    const r = await read('id;lon;lat;accuracy_m', ['a;-84.5;38;1,234']);
    expect(r.candidates?.accuracy[0]).toBe(1.234);
    expect(r.notes).toEqual([
      't.csv: "accuracy_m": the comma in "1,234" is read as decimal; nothing in the column decides it',
    ]);
  });
  test('verbatim coordinates stand in where decimal degrees are empty, and it is said', async () => {
    const header =
      'id;decimalLatitude;decimalLongitude;verbatimLatitude;verbatimLongitude;verbatimCoordinates';
    const r = await read(header, [
      'a;38.1;-84.5;38 6 N;84 31 W;',
      "b;;;38° 12' N;84° 30' W;",
      'c;;;;;38.3, -84.5',
      'd;;;;;16S 840000 3800000',
      'e;;;north;;',
    ]);
    expect(r.lon).toEqual([-84.5, -84.5, -84.5, -84]);
    expect(r.lat).toEqual([38.1, 38.2, 38.3, 38]);
    expect(r.notes).toEqual([
      't.csv, row 3, lon, lat: no decimal degrees; the position is read from its verbatim column, here and in other rows like it',
      't.csv, row 6, lon: no value; row left out',
    ]);
  });
  test('degrees, minutes and seconds in columns of their own', async () => {
    const r = await read('id;Lat deg;Lat min;Lat sec;Lon_deg;Lon_min', [
      'a;38;7;30;-84;30,5',
      'b;38;60;0;-84;1',
      'c;38;;;-84;',
    ]);
    expect(r.lat).toEqual([38.125, 38]);
    expect(r.lon[0]).toBeCloseTo(-84.508333, 6);
    expect(r.notes).toEqual(['t.csv, row 3, lat: "38 60 0" is not a number of degrees; row left out']);
    // A mapping that names the degrees takes their minutes along.
    const mapped = await read('id;lat deg;lat min;lon deg;lon min', ['a;38;30;-84;30'], {
      mapping: { lat: 'lat deg', lon: 'lon deg' },
    });
    expect([mapped.lat, mapped.lon]).toEqual([[38.5], [-84.5]]);
  });
  test('both in one cell', async () => {
    const r = await read('id;GPS position', ['a;38.1, -84.5', 'b;N 38 7.5 W 84 30', 'c;nowhere', 'd;']);
    expect([r.lon, r.lat]).toEqual([
      [-84.5, -84.5],
      [38.1, 38.125],
    ]);
    expect(r.notes).toEqual([
      't.csv, row 4, coordinates: "nowhere" is not a latitude and a longitude; row left out',
      't.csv, row 5, coordinates: no value; row left out',
    ]);
  });
});

describe('grid coordinates', () => {
  test('with a zone in the header, in a column, in the cell', async () => {
    const asked: string[] = [];
    const noting: TableReading = {
      systems: (crs) => {
        asked.push(crs);
        return systems(crs);
      },
    };
    await read('id;UTM 16N E;UTM 16N N', ['a;684000;4205000'], noting);
    await read(
      'id;Easting;Northing;UTM zone;Datum',
      ['a;684000;4205000;16S;NAD83', 'b;250000;4100000;17;'],
      noting,
    );
    await read('id;coordinates', ['a;16S 684000 4205000', 'b;17N 250000 4100000'], noting);
    expect(asked).toEqual(['EPSG:32616', 'EPSG:26916', 'EPSG:32617', 'EPSG:32616', 'EPSG:32617']);
  });
  test('thousands may be parted', async () => {
    const r = await read('id;UTM 16N E;UTM 16N N', ['a;684,000;4,205,000', 'b;684 500 m E;4 205 100 m N']);
    expect(r.lon).toEqual([-68.4, -68.45]);
    expect(r.lat[1]).toBeCloseTo(42.051, 9);
  });
  test('without a zone the coordinate system is asked for, with the box', async () => {
    const { failure } = await read('id;easting;northing', ['a;684000;4205000', 'b;690000;4201000']);
    expect(failure?.code).toBe('crs');
    expect(failure?.coordinates).toEqual([684000, 4201000, 690000, 4205000]);
  });
  test('the system of the layer is used for x and y, and for eastings', async () => {
    for (const header of ['id;x;y', 'id;easting;northing', 'id;lon;lat']) {
      const r = await read(header, ['a;840000;3800000'], { crs: 'EPSG:5070' });
      expect([r.lon, r.lat]).toEqual([[-84], [38]]);
    }
  });
  test('a few rows without a zone are left out, with a note', async () => {
    const r = await read('id;easting;northing;zone', [
      'a;684000;4205000;16N',
      'b;684000;4205000;16N',
      'c;1;2;',
    ]);
    expect(r.lon).toHaveLength(2);
    expect(r.notes[0]).toMatch(/1 rows were left out: has eastings and northings without a UTM zone/);
  });
  test('eastings and northings in each other’s place are offered for mending', async () => {
    const lines = ['a;3800000;840000', 'b;3900000;850000'];
    const r = await read('id;UTM 16N E;UTM 16N N', lines);
    // None of the rows lies on the earth so: what would mend it comes with the refusal.
    expect(r.failure?.offers?.map((o) => [o.mend, o.extent])).toEqual([['axes', [-85, 38, -84, 39]]]);
    const mended = await read('id;UTM 16N E;UTM 16N N', lines, { mend: ['axes'] });
    expect([mended.lon, mended.lat, mended.offers]).toEqual([[-84, -85], [38, 39], []]);
  });
  test('degrees under a system of metres are offered for mending', async () => {
    const lines = ['a;-84.5;38.1', 'b;-84.6;38.2'];
    const r = await read('id;x;y', lines, { crs: 'EPSG:5070' });
    expect(r.offers).toEqual([
      {
        mend: 'degrees',
        what: expect.stringMatching(/look like degrees/) as string,
        extent: [-84.6, 38.1, -84.5, 38.2],
      },
    ]);
    expect((await read('id;x;y', lines, { crs: 'EPSG:5070', mend: ['degrees'] })).lon).toEqual([
      -84.5, -84.6,
    ]);
  });
});

describe('datum', () => {
  test('WGS 84 and NAD83 are read as they are, another is asked for', async () => {
    const r = await read('id;lon;lat;geodeticDatum', [
      'a;-84;38;WGS84',
      'b;-85;38;NAD83',
      'c;-86;38;EPSG:4230',
      'd;-83;38;',
    ]);
    expect(r.lon).toEqual([-84, -85, 0.0086, -83]);
  });
  test('NAD27 that cannot be shifted stands as it is, and it is said; an unknown one too', async () => {
    const r = await read('id;lon;lat;geodeticDatum', ['a;-84;38;NAD27', 'b;-85;38;Atlantis']);
    expect(r.lon).toEqual([-84, -85]);
    expect(r.notes).toEqual([
      't.csv, row 3, datum: "Atlantis" is not a datum that is known; taken as WGS 84',
      expect.stringMatching(/1 positions are on another datum .*off by some tens of metres/),
    ]);
  });
});

describe('mistakes over the whole table', () => {
  const lost = ['a;84;38', 'b;85;38', 'c;86;38'];
  test('a lost minus sign is offered, and mended when accepted', async () => {
    const r = await read('id;lon;lat', lost);
    expect(r.lon).toEqual([84, 85, 86]);
    expect(r.offers).toEqual([
      {
        mend: 'sign',
        what: expect.stringMatching(/^3 of 3 longitudes are positive/) as string,
        extent: [-86, 38, -84, 38],
      },
    ]);
    const mended = await read('id;lon;lat', lost, { mend: ['sign'] });
    expect([mended.lon, mended.offers, mended.notes]).toEqual([[-84, -85, -86], [], []]);
  });
  test('positions at 0, 0 are offered to be left out', async () => {
    const lines = ['a;0;0', 'b;-85;38', 'c;-85.1;38', 'd;0;0'];
    const r = await read('id;lon;lat', lines);
    expect(r.lon).toHaveLength(4);
    expect(r.offers).toEqual([
      {
        mend: 'zeros',
        what: expect.stringMatching(/^2 of 4 positions lie at 0, 0/) as string,
        extent: [-85.1, 38, -85, 38],
      },
    ]);
    const mended = await read('id;lon;lat', lines, { mend: ['zeros'] });
    expect([mended.lon, mended.notes]).toEqual([
      [-85, -85.1],
      ['t.csv: 2 rows at 0, 0 were left out, as accepted'],
    ]);
  });
  test('nothing but zeros: mending leaves nothing', () => {
    expect(mendPlaces(new Float64Array(2), new Float64Array(2), []).offers).toMatchObject([
      { mend: 'zeros', extent: null },
    ]);
  });
  test('half of the rows against the other half is no majority: offered', async () => {
    const r = await read('id;lon;lat', ['a;84;38', 'b;85;38', 'c;-86;38', 'd;-86.5;38']);
    expect(r.lon).toEqual([84, 85, -86, -86.5]);
    expect(r.offers.map((o) => o.mend)).toEqual(['sign']);
  });
  test('several mistakes are mended together', () => {
    const m = mendPlaces(Float64Array.of(38, 38.5, 0, 39), Float64Array.of(-84, 85, 0, -86), [
      'axes',
      'sign',
      'zeros',
    ]);
    expect([[...m.keep], m.offers]).toEqual([[1, 1, 0, 1], []]);
    expect([m.lon[0], m.lat[0], m.lon[3]]).toEqual([-84, 38, -86]);
  });
  test('one row far from all others is noted, and stays', async () => {
    const near = Array.from({ length: 20 }, (_, i) => `t${i};${-85 + i / 100};38`);
    const r = await read('id;lon;lat', [...near, 'far;-60;38', 'near;-84.2;38.4']);
    expect(r.lon).toHaveLength(22);
    expect(r.notes).toEqual([
      expect.stringMatching(/^t.csv, row 22, position: lies 21\d\d km from the middle of the others/),
    ]);
  });
  test('two regions are no mistake', () => {
    const lon = Float64Array.from({ length: 40 }, (_, i) => (i < 30 ? -85 : -70));
    expect(farRows(lon, new Float64Array(40).fill(38))).toEqual([]);
    expect(farRows(new Float64Array(0), new Float64Array(0))).toEqual([]);
  });
});

describe('records', () => {
  test('Darwin Core: name in parts, qualifier, absence, dates, rounding', async () => {
    const header =
      'occurrenceID;decimalLatitude;decimalLongitude;coordinatePrecision;genus;specificEpithet;identificationQualifier;occurrenceStatus;eventDate;recordedBy;individualCount';
    const r = await read(header, [
      'o1;38;-84;0.01;Quercus;alba;;present;9/30/2024;A. Scout;3',
      'o2;38.1;-84;;Quercus;rubra;cf.;present;3/4/2024;;',
      'o3;38.2;-84;;Quercus;alba;;absent;2024;;0',
    ]);
    const c = r.candidates;
    expect(c?.id).toEqual(['o1', 'o2']);
    expect([...(c?.species ?? [])].map((s) => s >= 0)).toEqual([true, false]);
    expect(c?.speciesText).toEqual(['Quercus alba', 'Quercus rubra']);
    expect(c?.text.date).toEqual(['2024-09-30', '2024-03-04']);
    expect([c?.text.recordedBy?.[0], c?.text.count?.[0], c?.text.qualifier?.[1]]).toEqual([
      'A. Scout',
      '3',
      'cf.',
    ]);
    // Half the diagonal of 0.01 degrees at 38 degrees north: 1113.2 m by 877.2 m.
    expect(c?.accuracy[0]).toBeCloseTo(Math.hypot(1113.2, 877.2) / 2, 0);
    expect(c?.accuracy[1]).toBeNaN();
    expect(r.notes).toEqual([
      't.csv, row 4, status: the species was looked for and not found; row left out',
      't.csv, row 3, species: "Quercus rubra" is qualified by "cf.": identification in doubt',
    ]);
    expect(r.unsettled).toEqual([]);
  });

  const names = [
    'a;-84;38;Quercus abla',
    'b;-85;38;wite oak',
    'c;-86;38;wite oak',
    'd;-87;38;bur oak',
    'e;-88;38;red oak',
    'f;-89;38;',
  ];
  test('names that are not known are listed with suggestions, never guessed', async () => {
    const r = await read('id;lon;lat;species', names);
    expect([...(r.candidates?.species ?? [])].filter((s) => s >= 0)).toHaveLength(1);
    expect(r.unsettled.map((u) => [u.name, u.rows, u.suggestions[0]?.name ?? ''])).toEqual([
      ['wite oak', 2, 'Quercus alba'],
      ['Quercus abla', 1, 'Quercus alba'],
      ['red oak', 1, ''],
    ]);
    expect(r.unsettled[2].why).toMatch(/northern red, southern red/);
    expect(unsettledNames(table('id;lon;lat;species', names))).toEqual(r.unsettled);
  });
  test('what the user settled holds, "" for unknown', async () => {
    const settled = {
      'wite oak': 'Quercus alba',
      'red oak': 'Quercus alba x Quercus macrocarpa',
      'bur oak': '',
    };
    const r = await read('id;lon;lat;species', names, { names: settled });
    expect([...(r.candidates?.species ?? [])].map((s) => s >= 0)).toEqual([
      false,
      true,
      true,
      false,
      true,
      false,
    ]);
    expect(r.candidates?.hybrid[4]).toBeGreaterThanOrEqual(0);
    expect(r.candidates?.speciesText[1]).toBe('wite oak');
    expect(r.unsettled.map((u) => u.name)).toEqual(['Quercus abla']);
    expect(unsettledNames(table('id;lon;lat;species', names), {}, settled).map((u) => u.name)).toEqual([
      'Quercus abla',
    ]);
  });
  test('a million rows of one id would not be a million trials each', async () => {
    const n = 40_000;
    const r = await candidatesFrom(
      {
        columns: ['id', 'lon', 'lat'],
        n,
        cell: (row, c) => (c === 0 ? 'same' : c === 1 ? String(-85 + row / n) : '38'),
        line: (row) => row + 2,
      },
      't.csv',
    );
    expect(r.ok && [new Set(r.value.candidates.id).size, r.value.candidates.id[n - 1]]).toEqual([
      n,
      `same-${n}`,
    ]);
  });
});

test('a long table says how far it is, and can be stopped at any of its steps', async () => {
  const n = 60_000;
  const long = {
    columns: ['id', 'lon', 'lat', 'species', 'date'],
    n,
    cell: (row: number, c: number) => [`t${row}`, String(-85 + row / n), '38', 'bur oak', '2024-01-02'][c],
    line: (row: number) => row + 2,
  };
  const run = async (stopAt: number) => {
    let pauses = 0;
    const said = new Set<string>();
    const work = {
      progress: (done: number, total: number, what: string) => {
        expect(done).toBeLessThanOrEqual(total);
        said.add(what);
      },
      pause: () => (++pauses > stopAt ? Promise.reject(new Cancelled()) : Promise.resolve()),
    };
    const done = await candidatesFrom(long, 't.csv', {}, work).then(
      () => true,
      (e: unknown) => {
        expect(e).toBeInstanceOf(Cancelled);
        return false;
      },
    );
    return { done, pauses, said };
  };
  const whole = await run(Infinity);
  expect(whole.done).toBe(true);
  expect([...whole.said]).toContain('positions read');
  expect(whole.pauses).toBeGreaterThan(15);
  for (const stopAt of [0, 3, whole.pauses - 1])
    expect(await run(stopAt)).toMatchObject({ done: false, pauses: stopAt + 1 });
});

describe('preview', () => {
  const header = 'Nr;Art;X;Y;BHD cm';
  const lines = [
    '1;Quercus alba;-84.5;38.1;50',
    '2;alba x macrocarpa;-84.6;oops;60',
    '3;wite oak;-84.7;38.2;big',
  ];
  test('without positions the rest is shown, with what is missing', async () => {
    const p = await previewRows(table(header, lines), 't.csv', {
      mapping: { species: 'Art', lon: '', lat: '', coordinates: '' },
    });
    expect(p.failure?.what).toMatch(/no column for/);
    expect(p.rows.map((r) => [r.line, r.lon, r.species])).toEqual([
      [2, null, 'Quercus alba'],
      [3, null, 'Quercus alba × Quercus macrocarpa'],
      [4, null, ''],
    ]);
  });
  test('with them each row is shown as it is understood, with its problems', async () => {
    const p = await previewRows(table(header, lines), 't.csv', {
      mapping: { species: 'Art', id: 'Nr', dbh: 'BHD cm', gone: 'x' },
    });
    expect(p.failure).toBeNull();
    expect(p.rows).toMatchObject([
      {
        line: 2,
        id: '1',
        lon: -84.5,
        lat: 38.1,
        species: 'Quercus alba',
        written: 'Quercus alba',
        dbh: 50,
        problems: [],
      },
      { id: '2', lon: null, problems: ['Latitude: "oops" is not a number of degrees; row left out'] },
      {
        id: '3',
        species: '',
        written: 'wite oak',
        dbh: null,
        problems: [expect.stringMatching(/^Diameter/), expect.stringMatching(/^Species/)],
      },
    ]);
    expect(p.unsettled.map((u) => u.name)).toEqual(['wite oak']);
  });
  test('rows with a place of their own need no columns for it', async () => {
    const p = await previewRows(table('tree', ['a']), 't.fgb', {}, [[-84, 38]]);
    expect([p.failure, p.rows[0].lon, p.rows[0].id]).toEqual([null, -84, 'a']);
  });
});
