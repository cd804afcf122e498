import { describe, expect, it } from 'vitest';
import { yearFields, yearIn, yearReader } from '../../../src/domain/layers/years.ts';

describe('the year of a cell', () => {
  it.each([
    [1987, 1987],
    ['1987', 1987],
    [' 1987 ', 1987],
    ['1987-05-01', 1987],
    ['1987-05-01T00:00:00Z', 1987],
    ['1987/05', 1987],
    ['5/1/1987', 1987],
    ['1.5.1987', 1987],
    ['May 1987', 1987],
    ['ca. 1900', 1900],
    ['c1900', 1900],
    ['~1900?', 1900],
    ['1920s', 1920],
    ['1985-1987', 1985],
    ['1985 to 1987', 1985],
    ['since 1950', 1950],
    ['after 1950', 1950],
    ['planted by the city 1987', 1987],
    ['19870501', 1987],
    [19870501, 1987],
    [1987.0, 1987],
    // 1987-05-05 and 1930-01-01 in milliseconds since 1970.
    [547171200000, 1987],
    ['-1262304000000', 1930],
    [1600, 1600],
    [2100, 2100],
  ])('%j is %d', (value, year) => {
    expect(yearIn(value)).toBe(year);
  });

  it.each([
    [0],
    [1],
    [-9999],
    [9999],
    [1599],
    [2101],
    [65535],
    [NaN],
    [null],
    [undefined],
    [true],
    [''],
    ['unknown'],
    ['0000-00-00'],
    ['5/1/87'],
    ['T-19871'],
    ['19th century'],
    ['before 1910'],
    ['by 1910'],
    ['by ca. 1910'],
    ['pre-1910'],
    ['1910 or earlier'],
    ['12345678'],
  ])('%j is none', (value) => {
    expect(yearIn(value)).toBeNaN();
  });
});

describe('the attribute that holds it', () => {
  it('is the surest of the usual ones, however it is written', () => {
    expect(yearFields(['year', 'YEAR_BUILT', 'Name', 'startDate'], 'since')).toEqual([
      'YEAR_BUILT',
      'startDate',
      'year',
    ]);
    expect(yearFields(['Plant Date', 'year', 'date_planted'], 'planted')).toEqual([
      'Plant Date',
      'date_planted',
    ]);
  });

  it('may be another from feature to feature; one without a year leaves the next', () => {
    const read = yearReader('since', undefined);
    expect(read({ opened: '1921', year: 2019 })).toBe(1921);
    expect(read({ opened: 'unknown', year: 2019 })).toBe(2019);
    expect(read({ start_date: '~1885' })).toBe(1885);
    expect(read({ name: 'Laurel Park 1900' })).toBeNaN();
  });

  it('is the one that the user chose, and no other', () => {
    expect(yearReader('since', 'made')({ made: '1950', opened: '1921' })).toBe(1950);
    expect(yearReader('since', 'made')({ made: '', opened: '1921' })).toBeNaN();
    expect(yearReader('since', '')({ opened: '1921' })).toBeNaN();
  });
});
