import { expect, test } from 'vitest';
import {
  classTable,
  GROUNDS,
  groundOf,
  groundOfName,
  groundShares,
  groundTable,
  isNlcd,
  uncounted,
} from '../../../src/domain/layers/landcover.ts';

test('codes outside the legend have no kind of ground', () => {
  for (const code of [0, 13, 25, 99, 127, 255, NaN, -1]) expect(groundOf(code)).toBeNull();
  const table = groundTable();
  expect(table).toHaveLength(256);
  expect(table[0]).toBe(255);
  expect(table[255]).toBe(255);
  expect(GROUNDS[table[41]]).toBe('forest');
  expect(GROUNDS[table[90]]).toBe('forest');
  expect(GROUNDS[table[21]]).toBe('developed open');
});

test('shares come from the cells that were counted', () => {
  const k = GROUNDS.length;
  const counts = new Uint32Array(2 * k);
  counts[GROUNDS.indexOf('developed open')] = 3;
  counts[GROUNDS.indexOf('developed')] = 2;
  counts[GROUNDS.indexOf('forest')] = 10;
  counts[GROUNDS.indexOf('crop')] = 5;
  const { developed, forest } = groundShares(counts);
  expect(developed[0]).toBe(0.25);
  expect(forest[0]).toBe(0.5);
  // No cell at all (nodata everywhere): not known, never zero.
  expect(developed[1]).toBeNaN();
  expect(forest[1]).toBeNaN();
});

const found = (...values: number[]): Array<{ value: number; share: number }> =>
  values.map((value) => ({ value, share: 1 / values.length }));

test('a raster is of the legend when all its values are, marks of nothing aside', () => {
  expect(isNlcd(found(11, 21, 41, 82, 95, 0, 127, 255))).toBe(true);
  expect(isNlcd(found(41))).toBe(true);
  // ESA WorldCover, MODIS (IGBP) and NLCD 1992 share some numbers with it (legends from memory).
  expect(isNlcd(found(10, 30, 40, 50, 80, 90))).toBe(false);
  expect(isNlcd(found(1, 4, 5, 11, 12))).toBe(false);
  expect(isNlcd(found(11, 41, 82, 83, 91))).toBe(false);
  expect(isNlcd(null)).toBe(false);
});

test('names in the file that speak of another ground belie the numbers', () => {
  expect(isNlcd(found(11, 21), [{ value: 11, name: 'Open Water' }])).toBe(true);
  expect(
    isNlcd(
      found(21, 41, 52, 81, 90),
      [
        [21, 'Developed, Open Space'],
        [41, 'Deciduous Forest'],
        [52, 'Shrub/Scrub'],
        [81, 'Hay/Pasture'],
        [90, 'Woody Wetlands'],
      ].map(([value, name]) => ({ value: Number(value), name: String(name) })),
    ),
  ).toBe(true);
  // NOAA C-CAP: 21 is open water, 11 mixed forest (from memory).
  expect(isNlcd(found(11, 21), [{ value: 21, name: 'Open Water' }])).toBe(false);
  expect(isNlcd(found(11, 21), [{ value: 11, name: 'Mixed Forest' }])).toBe(false);
});

test.each([
  ['Developed, Open Space', 'developed open'],
  ['Urban or built-up', 'developed'],
  ['Broadleaf forest', 'forest'],
  ['Palustrine Forested Wetland', 'forest'],
  ['Rice', 'crop'],
  ['Grassland', 'open'],
  ['Snow and ice', 'barren'],
  ['Class 7', null],
])('the name "%s" speaks of %s', (name, ground) => {
  expect(groundOfName(name)).toBe(ground);
});

test('what the user set stands in place of the legend, value by value', () => {
  const table = groundTable({ '90': 'wetland', '1': 'crop', '41': '', '42': 'no such ground' });
  expect([90, 1].map((v) => GROUNDS[table[v]])).toEqual(['wetland', 'crop']);
  expect([table[41], table[42]]).toEqual([255, 255]);
  expect(GROUNDS[table[43]]).toBe('forest');
  // Of another legend nothing is known but what was set.
  const other = groundTable({ '1': 'crop' }, false);
  expect([...other].filter((g) => g !== 255)).toEqual([GROUNDS.indexOf('crop')]);
});

test('the table of classes tells name, share, what counts and what is usual', () => {
  const rows = classTable({ classes: { '41': 'crop' } }, found(41, 11), [{ value: 11, name: 'Lake' }]);
  expect(rows).toEqual([
    {
      value: 41,
      name: 'Deciduous forest',
      share: 0.5,
      ground: 'crop',
      usual: 'forest',
      own: 'crop',
      offer: null,
    },
    {
      value: 11,
      name: 'Lake',
      share: 0.5,
      ground: 'water',
      usual: 'water',
      own: undefined,
      offer: 'water',
    },
  ]);
  const [foreign] = classTable({}, found(1, 2), [{ value: 1, name: 'Corn' }]);
  expect(foreign).toMatchObject({ name: 'Corn', ground: null, usual: null, offer: 'crop' });
});

test('values that count as nothing are said, those set to nothing are not', () => {
  expect(uncounted({}, found(11, 41, 0), [])).toBeNull();
  expect(uncounted({}, found(1, 2, 3, 4), [])).toMatch(/not read by the legend.*1, 2, 3, 4.*100 %/);
  expect(
    uncounted({ classes: { '1': 'forest', '2': 'crop', '3': '', '4': 'water' } }, found(1, 2, 3, 4), []),
  ).toBeNull();
  expect(uncounted({ classes: { '1': 'forest' } }, found(1, 2, 3, 4), [])).toMatch(/2, 3, 4.*75 %/);
  expect(uncounted({}, null, [])).toMatch(/too many/);
});

test('a number is no name', () => {
  expect(classTable({}, found(41), [{ value: 41, name: '41' }])[0].name).toBe('Deciduous forest');
});
