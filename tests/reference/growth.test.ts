/**
 * Growth factors (years for an inch of diameter at breast height) of the International Society of Arboriculture, as the page
 * of the Missouri Department of Conservation on the age of trees prints them; facts.md 6b. The example: a white oak of 10
 * inches is taken for 50 years old.
 */
import { expect, it } from 'vitest';
import { age } from '../../src/domain/candidates/age.ts';
import { GROWTH_FACTORS } from '../../src/domain/species/growth.ts';
import { OAKS } from '../../src/domain/species/species.ts';
import { make } from '../domain/candidates/make.ts';

it('are those of the table, and no others', () => {
  expect(GROWTH_FACTORS).toEqual({
    'Quercus alba': 5,
    'Quercus rubra': 4,
    'Quercus coccinea': 4,
    'Quercus palustris': 3,
    'Quercus shumardii': 3,
    'Quercus imbricaria': 6,
  });
  for (const name in GROWTH_FACTORS) expect(OAKS.map((o) => o.name)).toContain(name);
});

it('a white oak of 10 inches is about 50 years old', () => {
  expect(age(make([{ species: 'white oak', dbh: 25.4 }]), {})[0]).toBeCloseTo(50, 9);
});
