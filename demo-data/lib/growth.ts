import type { Rng } from './rng.ts';

/** Years an inch of diameter, in the woods: near the arborists' factors where there are such, else invented. */
const YEARS_PER_INCH: Readonly<Record<string, number>> = { 'Quercus alba': 5, 'Quercus rubra': 4 };
const OTHER = 4.6;
/** In the open an oak grows faster; how much luck one tree has (standard deviation of the share). */
const OPEN = 0.86;
const LUCK = 0.17;
/** The stoutest oak of the country, cm. */
const MOST = 138;

/** Diameter, cm, that a tree of so many years has come to: what the notebook measures of its age. */
export function diameterOf(species: string, years: number, random: Rng, open = true): number {
  const yearsPerInch = (YEARS_PER_INCH[species] ?? OTHER) * (open ? OPEN : 1);
  const luck = Math.max(0.6, Math.min(1.5, 1 + LUCK * random.normal()));
  return Math.max(4, Math.min(MOST, Math.round((2.54 * years * luck) / yearsPerInch)));
}
