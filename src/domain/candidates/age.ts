import { centimetresToInches } from '../base/units.ts';
import { yearIn } from '../layers/years.ts';
import { growthFactors } from '../species/growth.ts';
import type { Candidates } from './candidates.ts';

/**
 * Years from the diameter at breast height: inches times the growth factor of the species (arborists' rule, see growth.ts). A
 * hybrid takes the mean of its parents' factors. NaN where diameter, species or a factor is not known. Very rough: whoever
 * shows it shows the error too.
 * @param growth the user's factors by name of the species, years an inch.
 */
export function age(candidates: Candidates, growth: Readonly<Record<string, number>>): Float64Array {
  const { n, dbh, species, hybrid } = candidates;
  const { factors } = growthFactors(growth);
  const factorOf = (s: number): number => (s < 0 ? NaN : factors[s]);
  return Float64Array.from({ length: n }, (_, i) => {
    const factor = hybrid[i] < 0 ? factorOf(species[i]) : (factorOf(species[i]) + factorOf(hybrid[i])) / 2;
    return centimetresToInches(dbh[i]) * factor;
  });
}

/**
 * Calendar year in which each candidate was measured: that of its record, else that of the file it came from, else NaN.
 * @param dateOf date of a file by its name, '' not known.
 */
export function measuredYear({ n, text }: Candidates, dateOf: (file: string) => string): Float64Array {
  const years = new Map<string, number>();
  const year = (date: string): number => {
    let known = years.get(date);
    if (known === undefined) years.set(date, (known = yearIn(date)));
    return known;
  };
  const ofFile = new Map<string, number>();
  return Float64Array.from({ length: n }, (_, i) => {
    const own = year(text.date?.[i] ?? '');
    if (!Number.isNaN(own)) return own;
    const file = text.file?.[i] ?? '';
    let known = ofFile.get(file);
    if (known === undefined) ofFile.set(file, (known = yearIn(dateOf(file))));
    return known;
  });
}
