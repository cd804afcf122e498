import { expect, test } from 'vitest';
import { GROUNDS, groundOf, groundShares, groundTable } from '../../../src/domain/layers/landcover.ts';

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
