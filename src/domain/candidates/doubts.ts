import { isDoubted } from '../species/tentative.ts';
import type { Candidates } from './candidates.ts';
import { identified } from './identified.ts';

type Asked = Pick<Candidates, 'species' | 'hybrid' | 'speciesText' | 'text'>;

/** Whether anything makes the identification doubtful; `doubts` says what. */
export const isDoubtful = (candidates: Asked, row: number): boolean =>
  candidates.species[row] < 0 || candidates.hybrid[row] >= 0 || !isNamed(identified(candidates, row));

/** A key that is not on record is no doubt, one that was not used is. */
const isNamed = (how: number): boolean => how === 0 || how === 1;

/** The name itself says that it is not certain, and nobody has settled it. */
export const namedWithDoubt = ({ species, speciesText, text }: Asked, row: number): boolean =>
  species[row] < 0 && ((text.qualifier?.[row] ?? '') !== '' || isDoubted(speciesText[row]));

/**
 * Why the identification of a record may not be relied on, in words; none where it may. A name that a person has settled
 * counts as settled, whatever the file says.
 */
export function doubts(candidates: Asked, row: number): string[] {
  const { species, hybrid } = candidates;
  const found: string[] = [];
  if (namedWithDoubt(candidates, row)) found.push('named with doubt');
  else if (species[row] < 0) found.push('species not settled');
  if (hybrid[row] >= 0) found.push('recorded as a hybrid');
  const how = identified(candidates, row);
  if (how === 3) found.push('key not used');
  else if (!isNamed(how)) found.push('nobody named who identified it');
  return found;
}
