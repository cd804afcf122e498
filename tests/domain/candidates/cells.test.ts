/** Cells by themselves: numbers, dates, pairs, zones, headers. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dateIn, OrderVotes } from '../../../src/domain/candidates/table/dates.ts';
import { degrees } from '../../../src/domain/candidates/table/degrees.ts';
import { gridHeader, hemisphereHeader, plainHeader } from '../../../src/domain/candidates/table/headers.ts';
import { numberIn, StyleVotes } from '../../../src/domain/candidates/table/numbers.ts';
import { pairOf } from '../../../src/domain/candidates/table/pairs.ts';
import { datumOf, utmCode, utmZone } from '../../../src/domain/candidates/table/utm.ts';

const styleOf = (cells: readonly string[], likely?: 'decimal' | 'thousands') => {
  const votes = new StyleVotes();
  for (const c of cells) votes.add(c);
  return votes.style(likely);
};

describe('numbers of a column', () => {
  test.each([
    [['84,51', '1,234'], [84.51, 1.234], ''],
    [['84.51', '1,234'], [84.51, 1234], ''],
    [['1,234.5', '2,000'], [1234.5, 2000], ''],
    [['1.234,5', '2.000', '7,25'], [1234.5, 2000, 7.25], ''],
    [['4,205,000', '684,000'], [4205000, 684000], ''],
    [['4 205 000,5', '12'], [4205000.5, 12], ''],
    [['4’205’000', '0,125'], [4205000, 0.125], ''],
    [['1,234', '12'], [1.234, 12], '1,234'],
    [['1234,567', '-3,5'], [1234.567, -3.5], ''],
    [['.5', ',5', '−2'], [0.5, 0.5, -2], ''],
  ])('%j', (cells, values, doubt) => {
    const style = styleOf(cells);
    expect(cells.map((c) => numberIn(c, style))).toEqual(values);
    expect(style.doubt).toBe(doubt);
  });

  test('where nothing decides, what is likely is taken, and the doubt is known', () => {
    const style = styleOf(['684,000', '685,500'], 'thousands');
    expect([numberIn('684,000', style), style.doubt]).toEqual([684000, '684,000']);
  });

  test.each(['', 'x', '1,2,3', '1.2.3', '12,34,567', '1e5', '--1', '0x10', '1,,2', 'NaN', '1 2'])(
    '"%s" is none',
    (cell) => expect(numberIn(cell)).toBeNaN(),
  );

  // What a number looks like in a language is told by the platform's own formatter (Intl, CLDR data).
  test.each([
    ['en-US', 2],
    ['de-DE', 2],
    ['fr-FR', 2],
    ['de-CH', 2],
    ['es-MX', 2],
  ])('a column as written in %s is read back (property)', (locale, digits) => {
    const format = new Intl.NumberFormat(locale, {
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    });
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -9_999_999_99, max: 9_999_999_99 }), { minLength: 1 }),
        (hundredths) => {
          const values = hundredths.map((v) => v / 100);
          const cells = values.map((v) => format.format(v));
          const style = styleOf(cells);
          expect(cells.map((c) => numberIn(c, style))).toEqual(values);
        },
      ),
      { numRuns: 200, seed: 51 },
    );
  });
});

describe('dates of a column', () => {
  const read = (...cells: string[]) => {
    const votes = new OrderVotes();
    for (const c of cells) votes.add(c);
    const order = votes.order();
    return cells.map((c) => dateIn(c, order));
  };
  test.each([
    ['2024-09-30', '2024-09-30'],
    ['2024-9-3', '2024-09-03'],
    ['2024/09/30', '2024-09-30'],
    ['2024-09-30T10:22:05Z', '2024-09-30'],
    ['2024-09', '2024-09'],
    ['2024', '2024'],
    ['2024-09-01/2024-09-30', '2024-09-01/2024-09-30'],
    ['9/30/2024', '2024-09-30'],
    ['30.9.2024', '2024-09-30'],
    ['30-09-2024', '2024-09-30'],
    ['9/30/24', '2024-09-30'],
    ['9/30/1975 08:15', '1975-09-30'],
    ['30 Sep 2024', '2024-09-30'],
    ['30-Sep-2024', '2024-09-30'],
    ['September 30, 2024', '2024-09-30'],
    ['Sept. 3rd, 2024', '2024-09-03'],
    ['Oct 2024', '2024-10'],
    ['5/5/2024', '2024-05-05'],
    ['2/30/2024', '2/30/2024'],
    ['29 Feb 2023', '29 Feb 2023'],
    ['29 Feb 2024', '2024-02-29'],
    ['last fall', 'last fall'],
    ['45565', '45565'],
  ])('%s is %s', (cell, text) => expect(read(cell)[0]).toEqual({ text, open: false }));

  test('one day over 12 settles the order of the column', () => {
    expect(read('3/4/2024', '9/30/2024').map((d) => d.text)).toEqual(['2024-03-04', '2024-09-30']);
    expect(read('3/4/2024', '30/9/2024').map((d) => d.text)).toEqual(['2024-04-03', '2024-09-30']);
  });
  test('what stays open, or contradicts itself, is kept as written', () => {
    expect(read('3/4/2024')).toEqual([{ text: '3/4/2024', open: true }]);
    expect(read('3/4/2024', '9/30/2024', '30/9/2024')).toEqual([
      { text: '3/4/2024', open: true },
      { text: '2024-09-30', open: false },
      { text: '2024-09-30', open: false },
    ]);
  });
});

describe('two coordinates in a cell', () => {
  test.each([
    ['38.1234, -84.5678', -84.5678, 38.1234],
    ['38.1234,-84.5678', -84.5678, 38.1234],
    ['38.1234 -84.5678', -84.5678, 38.1234],
    ['(38.1234; -84.5678)', -84.5678, 38.1234],
    ['38,1234; -84,5678', -84.5678, 38.1234],
    ['38,1234, -84,5678', -84.5678, 38.1234],
    ['38,1234,-84,5678', -84.5678, 38.1234],
    ['geo:38.1234,-84.5678', -84.5678, 38.1234],
    ['38.1234 N, 84.5678 W', -84.5678, 38.1234],
    ['84.5678 W 38.1234 N', -84.5678, 38.1234],
    ['N38.1234 W84.5678', -84.5678, 38.1234],
    [`N 38° 7' 24.24" W 84° 34' 4.08"`, -84.5678, 38.1234],
    [`38°07'24.24"N, 84°34'04.08"W`, -84.5678, 38.1234],
    ['38 7.404 N 84 34.068 W', -84.5678, 38.1234],
    ['-95.5, 38.25', -95.5, 38.25],
  ])('%s', (cell, lon, lat) => {
    const pair = pairOf(cell);
    expect(pair?.x).toBeCloseTo(lon, 9);
    expect(pair?.y).toBeCloseTo(lat, 9);
    expect(pair?.zone).toBe('');
  });
  test.each([
    ['16S 684000 4205000', '16S'],
    ['UTM 16S 684000 4205000', '16S'],
    ['16 N, 684000 m E, 4205000 m N', '16N'],
    ['16 684000E 4205000N', '16'],
    ['684000E 4205000N 16S', '16S'],
    ['684000, 4205000, zone 16', '16'],
  ])('%s is in a zone', (cell, zone) => expect(pairOf(cell)).toEqual({ x: 684000, y: 4205000, zone }));
  test.each([
    '',
    '38.1',
    '38,12',
    'Lexington',
    '1 2 3',
    '38.1 N',
    '38 60 0 N 84 0 0 W',
    '500, 600',
    "82° 17.3162'",
    '61 684000 4205000',
    '2024-09-30',
  ])('"%s" is none', (cell) => expect(pairOf(cell)).toBeNull());
});

test.each([
  ['-85 W', -85],
  ['85 S', -85],
  ['85 E', 85],
])('%s is %d degrees', (text, value) => expect(degrees(text)).toBe(value));
test('a minus sign and an east letter contradict each other', () => expect(degrees('-85 E')).toBeNaN());

describe('UTM zones', () => {
  test.each([
    ['16N', NaN, 16, false],
    ['16', NaN, 16, false],
    ['UTM 16 north', NaN, 16, false],
    ['Zone 16T', NaN, 16, false],
    ['16S', 4_205_000, 16, false],
    ['16 S', 6_200_000, 16, true],
    ['16 South', 4_205_000, 16, true],
    ['16H', 6_200_000, 16, true],
  ])('%s at %d', (text, northing, zone, south) => expect(utmZone(text, northing)).toEqual({ zone, south }));
  test.each(['', '0N', '61N', 'N', '16O', '16I', '1612'])('"%s" is none', (text) =>
    expect(utmZone(text, 4e6)).toBeNull(),
  );
  // EPSG registry: 32616, 32716, 26916, 26716; NAD83 has zones 1 to 23, NAD27 1 to 22.
  test('codes', () => {
    const z = (zone: number, south = false) => ({ zone, south });
    expect(utmCode(z(16), 'WGS84')).toBe('EPSG:32616');
    expect(utmCode(z(6, true), 'WGS84')).toBe('EPSG:32706');
    expect(utmCode(z(16), 'NAD83')).toBe('EPSG:26916');
    expect(utmCode(z(16), 'NAD27')).toBe('EPSG:26716');
    expect([utmCode(z(24), 'NAD83'), utmCode(z(16, true), 'NAD83'), utmCode(z(23), 'NAD27')]).toEqual([
      null,
      null,
      null,
    ]);
  });
  test.each([
    ['WGS 84', 'WGS84'],
    ['EPSG:4326', 'WGS84'],
    ['World Geodetic System 1984', 'WGS84'],
    ['NAD 83', 'NAD83'],
    ['North American Datum 1927', 'NAD27'],
    ['nad27', 'NAD27'],
    ['EPSG:4230', 'EPSG:4230'],
    ['not recorded', ''],
    ['', ''],
    ['Atlantis', null],
  ])('datum %s', (text, datum) => expect(datumOf(text)).toBe(datum));
});

describe('headers', () => {
  test.each([
    ['UTM 16N E', 'easting', '16N', ''],
    ['UTM 16N N', 'northing', '16N', ''],
    ['UTM 16 E', 'easting', '16', ''],
    ['UTM 16 N', 'northing', '16', ''],
    ['UTM16 S E', 'easting', '16S', ''],
    ['NAD83 UTM 16N Easting (m)', 'easting', '16N', 'NAD83'],
    ['E_UTM16N', 'easting', '16N', ''],
    ['UTM_Northing', 'northing', '', ''],
    ['utm_x', 'easting', '', ''],
    ['Northing (zone 17)', 'northing', '17', ''],
    ['Easting', 'easting', '', ''],
  ])('%s', (header, axis, zone, datum) => expect(gridHeader(header)).toEqual({ axis, zone, datum }));
  test.each(['N', 'E', 'Easting and northing', 'lat', '16', 'north slope', 'UTM zone'])(
    '"%s" is no axis',
    (header) => expect(gridHeader(header)).toBeNull(),
  );
  test.each([
    ['Lat N', 'lat', 1],
    ['Long W', 'long', -1],
    ['Longitude (W)', 'longitude', -1],
    ['latitude_s', 'latitude', -1],
  ])('%s', (header, plain, sign) => expect(hemisphereHeader(header)).toEqual({ plain, sign }));
  test('units', () => {
    expect(plainHeader('GPS accuracy (ft)')).toEqual({ plain: 'gpsaccuracy', unit: 'ft' });
    expect(plainHeader('Lat (deg min)')).toEqual({ plain: 'lat', unit: '' });
    expect(plainHeader('decimalLatitude')).toEqual({ plain: 'decimallatitude', unit: '' });
  });
});
