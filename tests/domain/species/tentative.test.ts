import { expect, test } from 'vitest';
import { AMBIGUOUS, OAKS } from '../../../src/domain/species/species.ts';
import { tentative } from '../../../src/domain/species/tentative.ts';

const read = (text: string): [string, string] => {
  const { species, sections } = tentative(text);
  return [OAKS[species]?.name ?? '', [...sections].sort().join(' ')];
};
const ANY = 'live red turkey white';

test.each([
  ['Quercus cf. alba', 'Quercus alba', 'white'],
  ['Q. aff. macrocarpa Michx.', 'Quercus macrocarpa', 'white'],
  ['white oak?', 'Quercus alba', 'white'],
  ['probably black oak', 'Quercus velutina', 'red'],
  ['Quercus alba/montana', '', 'white'],
  ['white oak or red maple', 'Quercus alba', 'white'],
  ['Q. alba or Q. rubra', '', 'red white'],
  ['red oak', '', 'red'],
  ['Oak, swamp', '', 'red white'],
  ['Quercus sp.', '', ANY],
  ['Quercus', '', ANY],
  ['oak', '', ANY],
  ['Quercus gambelii', '', ANY],
  ['Quercus × inventa', '', ANY],
  ['Acer rubrum', '', ''],
  ['sugar maple?', '', ''],
  ['', '', ''],
])('%j is perhaps %j, of %j', (text, name, sections) => {
  expect(read(text)).toEqual([name, sections]);
});

test('every common name of more than one oak is some oak', () => {
  for (const name of Object.keys(AMBIGUOUS))
    expect(tentative(`${name} oak`).sections.length).toBeGreaterThan(0);
});
