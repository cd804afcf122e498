import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { columnsOf } from '../../../src/domain/candidates/table/columns.ts';
import { DARWIN_CORE, FIELDS } from '../../../src/domain/candidates/table/fields.ts';
import { guessMapping, headerKey } from '../../../src/domain/candidates/table/mapping.ts';

const guessed = (header: string, ...rows: string[]) => {
  const columns = header.split(';');
  const guesses = guessMapping(
    columns,
    rows.map((r) => r.split(';')),
  );
  return Object.fromEntries(Object.entries(guesses).map(([field, g]) => [field, g.column]));
};

describe('the list of fields', () => {
  test('names each field once, and no header stands for two', () => {
    expect(new Set(FIELDS.map((f) => f.field)).size).toBe(FIELDS.length);
    const headers = FIELDS.flatMap((f) => f.headers.map((h) => h.toLowerCase()));
    expect(headers.filter((h, i) => headers.indexOf(h) !== i)).toEqual([]);
  });
  test('has a label and a sentence for each', () => {
    for (const f of FIELDS) {
      expect(f.label).toMatch(/^[A-Z]/);
      expect(f.help).toMatch(/[.)]$/);
    }
    expect(new Set(FIELDS.map((f) => f.label)).size).toBe(FIELDS.length);
  });
  test('every Darwin Core term leads to its field', () => {
    for (const term of DARWIN_CORE)
      expect([term, FIELDS.filter((f) => f.headers.includes(term)).length]).toEqual([term, 1]);
  });
});

describe('guesses by header', () => {
  test.each([
    ['Lat N;Long W', { lat: 'Lat N', lon: 'Long W' }],
    ['UTM 16N E;UTM 16N N', { easting: 'UTM 16N E', northing: 'UTM 16N N' }],
    ['Easting;Northing;Zone', { easting: 'Easting', northing: 'Northing', utmZone: 'Zone' }],
    ['e;n', { easting: 'e', northing: 'n' }],
    ['n;lat;lon', { lat: 'lat', lon: 'lon' }],
    ['WKT', { wkt: 'WKT' }],
    ['verbatimCoordinates', { coordinates: 'verbatimCoordinates' }],
    ['lat;lon;easting;northing;WKT', { lat: 'lat', lon: 'lon' }],
    [
      'genus;specificEpithet;infraspecificEpithet',
      { genus: 'genus', epithet: 'specificEpithet', infraspecific: 'infraspecificEpithet' },
    ],
    ['zone', {}],
  ])('%s', (header, fields) => expect(guessed(header)).toEqual(fields));

  test('an empty column is passed over for a filled one', () => {
    const columns = 'decimalLatitude;decimalLongitude;verbatimLatitude;verbatimLongitude';
    expect(guessed(columns, ';;38 N;84 W', ';;39 N;85 W')).toEqual({
      lat: 'verbatimLatitude',
      lon: 'verbatimLongitude',
    });
    expect(guessed(columns, '38;-84;38 N;84 W')).toEqual({ lat: 'decimalLatitude', lon: 'decimalLongitude' });
  });
});

describe('guesses by cells', () => {
  test.each([
    ['a;b', 'x;38.1, -84.5', { coordinates: 'b' }],
    ['a;b', '38.1 N;84.5 W', { lat: 'a', lon: 'b' }],
    ['a;b', `38° 7' 2" N;84° 30' 2" W`, { lat: 'a', lon: 'b' }],
    ['a;b', 'POINT (-84 38);y', { wkt: 'a' }],
    ['what;b', 'Quercus alba;y', { species: 'what' }],
    ['gps;b', '38.1, -84.5;y', { coordinates: 'gps' }],
    ['gps;b', 'Garden unit 3;y', {}],
    ['geom;b', '0101000020E6;y', {}],
    ['year;plot', '1999;12', {}],
    ['easting;northing;zone', '684000;4205000;OH-1', { easting: 'easting', northing: 'northing' }],
    [
      'easting;northing;zone',
      '684000;4205000;16S',
      { easting: 'easting', northing: 'northing', utmZone: 'zone' },
    ],
  ])('%s: %s', (header, row, fields) => expect(guessed(header, row, row)).toEqual(fields));

  test('each says why', () => {
    const reasons = Object.fromEntries(
      Object.entries(
        guessMapping(['scientificName', 'Lat', 'Long', 'dbh'], [['Quercus alba', '38', '-84', '50']]),
      ).map(([f, g]) => [f, g.reason]),
    );
    expect(reasons).toEqual({
      species: 'Darwin Core term scientificName',
      lat: 'header "Lat" is usual for it',
      lon: 'header "Long" is usual for it',
      dbh: 'header "dbh" is usual for it',
    });
  });
});

describe('a mapping', () => {
  test('stands before the guess; "" leaves a field out; the rest is guessed around it', () => {
    const { at, missing } = columnsOf(['id', 'lon', 'lat', 'E', 'N', 'species'], {
      easting: 'E',
      northing: 'N',
      species: '',
      id: 'species',
    });
    expect(at).toEqual({ easting: 3, northing: 4, id: 5 });
    expect(missing).toEqual([]);
    expect(columnsOf(['a'], { lon: 'b', nonsense: 'a' }).missing).toEqual([
      { field: 'lon', column: 'b' },
      { field: 'nonsense', column: 'a' },
    ]);
  });

  test('no column serves two fields, whatever the headers (property)', () => {
    const header = fc.constantFrom(
      ...FIELDS.flatMap((f) => f.headers),
      'x',
      'Lat N',
      'UTM 16N E',
      'other',
      '',
    );
    const cell = fc.constantFrom(
      '',
      '38.1',
      '38.1 N',
      '84 W',
      '38.1, -84.5',
      'Quercus alba',
      'POINT (1 2)',
      '12',
    );
    fc.assert(
      fc.property(
        fc.array(header, { maxLength: 12 }),
        fc.array(fc.array(cell, { minLength: 12, maxLength: 12 }), { maxLength: 3 }),
        (headers, sample) => {
          const { at } = columnsOf(headers, {}, sample);
          const used = Object.values(at);
          expect(new Set(used).size).toBe(used.length);
          for (const i of used) expect(i).toBeLessThan(headers.length);
        },
      ),
      { numRuns: 1000, seed: 61 },
    );
  });
});

test('a set of headers is known again whatever its order, case and spaces', () => {
  expect(headerKey(['Lat', ' LON ', 'Tree  ID'])).toBe(headerKey(['tree id', 'lat', 'lon']));
  expect(headerKey(['lat', 'lon'])).not.toBe(headerKey(['lat', 'lon', 'id']));
  expect(headerKey(['a,b'])).not.toBe(headerKey(['a', 'b']));
});
