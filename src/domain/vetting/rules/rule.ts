import type { Candidates } from '../../candidates/candidates.ts';
import type { MatchColumns } from '../match/types.ts';
import type { OriginColumns } from '../origin/types.ts';
import type { Measures, SiteValues, ZoneSummary } from '../vetting.ts';
import { ANSWERS, type Answer, type FindingColumn, type Strength } from './types.ts';

/** Everything that rules read. */
export interface RuleInput {
  readonly candidates: Candidates;
  readonly measures: Measures;
  /** null where no variable could be read. */
  readonly match: MatchColumns | null;
  readonly origin: OriginColumns;
  readonly site: SiteValues;
  readonly zones: ZoneSummary;
  /** Index of the planting's species in the table of oaks, -1 not in it. */
  readonly species: number;
}

type Told = Pick<
  FindingColumn,
  'rule' | 'title' | 'measure' | 'unit' | 'words' | 'limit' | 'limits' | 'toCheck' | 'from'
>;

/**
 * The column of a rule, from a test of single rows. A row whose measure is NaN is unknown whatever the test says: what is
 * not known never passes.
 */
export function finding(
  told: Told,
  strength: Exclude<Strength, 'off'>,
  test: (row: number) => Answer,
): FindingColumn {
  const answer = new Uint8Array(told.measure.length);
  for (let i = 0; i < answer.length; i++)
    answer[i] = ANSWERS.indexOf(Number.isNaN(told.measure[i]) ? 'unknown' : test(i));
  return { ...told, strength, answer };
}

/** A rule that a measure passes up to a limit, the limit included. */
export const atMost = (
  told: Omit<Told, 'words' | 'limit' | 'limits'>,
  { strength, most }: { readonly strength: Exclude<Strength, 'off'>; readonly most: number },
): FindingColumn =>
  finding(
    {
      ...told,
      words: null,
      limit: `at most ${figure(most)}${told.unit === '°' ? '' : ' '}${told.unit}`,
      limits: { most },
    },
    strength,
    (i) => (told.measure[i] <= most ? 'pass' : 'fail'),
  );

/** "within 150 m of the site", "at most 1,500 m": numbers in limits as people write them. */
export const figure = (value: number): string => value.toLocaleString('en-US', { maximumFractionDigits: 2 });

/**
 * Whether a difference lies in the band from `below` under zero to `above` over it, ends included: 350.1 - 200.1 is 150 to a
 * user and 150.00000000000003 to the machine.
 */
export function inBand(difference: number, below: number, above: number): boolean {
  const rounding = 1e-9 * Math.max(1, below, above);
  return difference >= -below - rounding && difference <= above + rounding;
}
