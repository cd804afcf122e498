import { expect, test } from 'vitest';
import { kinOf } from '../../src/domain/candidates/kinOf.ts';
import { kinWords, levelWords } from '../../src/ui/vetting-sheet/hybridWords.ts';
import { make, type Short } from '../domain/candidates/make.ts';
import { at } from '../domain/zones/grid.ts';

const tree = (x: number, species = 'Quercus alba', identifiedBy = 'J. Placeholder'): Short => {
  const [lon, lat] = at(x, 0);
  return { lon, lat, species, text: { identifiedBy } };
};
const said = (units: 'metric' | 'us', ...trees: Short[]): string => {
  const c = make(trees);
  const kin = kinOf(c, 0, 100);
  return `${levelWords(kin)}. ${kinWords(kin, c.species[0] >= 0, 100, units)}`;
};

test('number, nearest and share, in the user’s units', () => {
  expect(said('metric', tree(0), tree(40, 'bur oak'), tree(-60))).toBe(
    'moderate. 1 oak of another species of the white section on record within 100 m, the nearest at 40 m: 33 % of the oaks of the section there.',
  );
  expect(said('us', tree(0), tree(40, 'bur oak'), tree(-60, 'post oak'))).toContain(
    'within 328 ft, the nearest at 131 ft: 67 %',
  );
});

test('none on record, with doubtful ones beside', () => {
  expect(said('metric', tree(0), tree(400, 'bur oak'))).toBe(
    'none on record. No other species of the white section is on record within 100 m.',
  );
  expect(said('metric', tree(0), tree(400, 'bur oak'), tree(20, 'Quercus alba', ''))).toBe(
    'low. No other species of the white section is on record within 100 m. 1 is doubtful, and may be another.',
  );
});

test('not known: nobody looked, or its own species is not settled', () => {
  expect(said('metric', tree(0), tree(40))).toMatch(/^not known\. Nobody has recorded a second species/);
  expect(said('metric', tree(0, 'Quercus sp.'), tree(40))).toMatch(/^not known\. Its species is not settled/);
  expect(said('metric', tree(0, 'Q. cf. alba'), tree(40, 'bur oak'))).toBe(
    'not known. Its own species is not settled. Below: oaks on record within 100 m, as for white oak.',
  );
});
