import { OAKS, resolveSpecies } from './species.ts';

/**
 * Years that an oak takes for an inch of diameter at breast height, by species: growth factors of the International Society
 * of Arboriculture as the Missouri Department of Conservation prints them. Made for forest-grown trees and very rough.
 * Not given there for bur, swamp white, chestnut, black, willow, water and southern red oak, nor for any other.
 */
export const GROWTH_FACTORS: Readonly<Record<string, number>> = {
  'Quercus alba': 5,
  'Quercus rubra': 4,
  'Quercus coccinea': 4,
  'Quercus palustris': 3,
  'Quercus shumardii': 3,
  'Quercus imbricaria': 6,
};

/**
 * Growth factor of each species of OAKS, NaN where none is known.
 * @param own the user's, by name of the species: they stand before the table.
 * @returns also the names of the user's that stand for no single species.
 */
export function growthFactors(own: Readonly<Record<string, number>> = {}): {
  readonly factors: Float64Array;
  readonly unread: readonly string[];
} {
  const factors = Float64Array.from(OAKS, (oak) => GROWTH_FACTORS[oak.name] ?? NaN);
  const unread: string[] = [];
  for (const [name, factor] of Object.entries(own)) {
    const { species, hybrid } = resolveSpecies(name);
    if (species >= 0 && hybrid < 0) factors[species] = factor;
    else unread.push(name);
  }
  return { factors, unread };
}
