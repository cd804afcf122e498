import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { OAKS, resolveSpecies } from '../../../src/domain/species/species.ts';
import { apart, suggestSpecies } from '../../../src/domain/species/suggest.ts';

test.each([
  ['Quercus macrocarpra', 'Quercus macrocarpa'],
  ['Q. velutinia', 'Quercus velutina'],
  ['Quercus shumardi', 'Quercus shumardii'],
  ['Quercus muhlenbergi', 'Quercus muehlenbergii'],
  ['nothern red oak', 'Quercus rubra'],
  ['scarlett oak', 'Quercus coccinea'],
  ['Quercus abla', 'Quercus alba'],
])('"%s" is not known, and %s is suggested first', (text, name) => {
  expect(resolveSpecies(text).species).toBe(-1);
  expect(suggestSpecies(text)[0].name).toBe(name);
});

test('what is far from every oak has no suggestion', () => {
  for (const text of ['Acer saccharum', 'tulip poplar', '', 'x', '12', 'Juglans'])
    expect([text, suggestSpecies(text)]).toEqual([text, []]);
});

test('a right name suggests itself, at no distance', () => {
  for (const oak of OAKS) expect(suggestSpecies(oak.name)[0]).toMatchObject({ name: oak.name, distance: 0 });
});

describe('letters that differ', () => {
  // Examples of Wagner & Fischer 1974 and of Damerau 1964 as usually given (from memory).
  test.each([
    ['kitten', 'sitting', 3],
    ['saturday', 'sunday', 3],
    ['ca', 'ac', 1],
    ['', 'abc', 3],
    ['abc', 'abc', 0],
  ])('%s and %s: %d', (a, b, d) => expect(apart(a, b)).toBe(d));

  test('are the same both ways, none for the same word, at most the longer length (property)', () => {
    const word = fc.string({ maxLength: 12, unit: fc.constantFrom('a', 'b', 'c') });
    fc.assert(
      fc.property(word, word, (a, b) => {
        expect(apart(a, b)).toBe(apart(b, a));
        expect(apart(a, b) === 0).toBe(a === b);
        expect(apart(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
        expect(apart(a, b)).toBeGreaterThanOrEqual(Math.abs(a.length - b.length));
      }),
      { numRuns: 500, seed: 11 },
    );
  });
});
