import type { EvidenceSettings } from '../../plan/schema.ts';
import type { Measures } from '../vetting.ts';

/** Calendar years in which a tree may have begun, from its age by diameter and the error of that. */
export interface Begun {
  readonly earliest: number;
  readonly latest: number;
}

/** NaN where age or the year of measuring is not known. @param ageError share by which the age may be off, up or down. */
export const begun = (
  { age, measuredYear }: Pick<Measures, 'age' | 'measuredYear'>,
  { ageError }: Pick<EvidenceSettings, 'ageError'>,
  row: number,
): Begun => ({
  earliest: measuredYear[row] - age[row] * (1 + ageError),
  latest: measuredYear[row] - age[row] * (1 - ageError),
});

/**
 * 0 older: it had begun before that year even if the age is the lowest within the error; 2 younger: it began after that year
 * even if the age is the highest; 1 the error spans the year; NaN not known.
 */
export function ageAgainst({ earliest, latest }: Begun, year: number): number {
  if (Number.isNaN(earliest) || Number.isNaN(year)) return NaN;
  return latest < year ? 0 : earliest > year ? 2 : 1;
}

/** "about 112 years (78 to 146) by its diameter, measured 2025"; '' where the age is not known. */
export function ageWords(
  { age, measuredYear }: Pick<Measures, 'age' | 'measuredYear'>,
  { ageError }: Pick<EvidenceSettings, 'ageError'>,
  row: number,
): string {
  const years = age[row];
  if (Number.isNaN(years)) return '';
  const low = Math.round(years * (1 - ageError));
  const high = Math.round(years * (1 + ageError));
  const measured = Number.isNaN(measuredYear[row]) ? '' : `, measured ${measuredYear[row]}`;
  return `about ${Math.round(years)} years (${low} to ${high}) by its diameter${measured}`;
}
