import { describe, expect, it } from 'vitest';
import { age, measuredYear } from '../../../src/domain/candidates/age.ts';
import { make } from './make.ts';

const INCH = 2.54;

describe('age from diameter', () => {
  it('is inches times the factor of the species', () => {
    const trees = make([
      { species: 'Quercus alba', dbh: 20 * INCH },
      { species: 'Quercus rubra', dbh: 20 * INCH },
      { species: 'Quercus palustris', dbh: 10 * INCH },
    ]);
    const years = age(trees, {});
    [100, 80, 30].forEach((y, i) => expect(years[i]).toBeCloseTo(y, 9));
  });

  it('is not known without a diameter, a species or a factor', () => {
    const trees = make([
      { species: 'Quercus alba' },
      { species: 'some oak', dbh: 50 },
      { species: 'Quercus macrocarpa', dbh: 50 },
    ]);
    expect([...age(trees, {})]).toEqual([NaN, NaN, NaN]);
  });

  it('takes the factor of the user before the table, under any name of the species', () => {
    const trees = make([
      { species: 'Quercus macrocarpa', dbh: 10 * INCH },
      { species: 'Quercus alba', dbh: 10 * INCH },
    ]);
    const years = age(trees, { 'bur oak': 7, 'Quercus alba': 4.5, 'no tree': 3 });
    [70, 45].forEach((y, i) => expect(years[i]).toBeCloseTo(y, 9));
  });

  it('of a hybrid takes the mean of both factors, and none where one is missing', () => {
    const trees = make([
      { species: 'Quercus palustris x Quercus rubra', dbh: 10 * INCH },
      { species: 'Quercus alba x Quercus macrocarpa', dbh: 10 * INCH },
    ]);
    const years = age(trees, {});
    expect(years[0]).toBeCloseTo(35, 9);
    expect(years[1]).toBeNaN();
  });
});

it('a tree was measured in the year of its record, else of its file', () => {
  const trees = make([
    { text: { date: '2019-09-30', file: 'a.csv' } },
    { text: { date: '', file: 'a.csv' } },
    { text: { date: 'autumn', file: 'b.csv' } },
    { text: { date: '9/30/2018', file: 'b.csv' } },
  ]);
  const dates: Record<string, string> = { 'a.csv': '2025-10', 'b.csv': '' };
  expect([...measuredYear(trees, (file) => dates[file] ?? '')]).toEqual([2019, 2025, NaN, 2018]);
});
