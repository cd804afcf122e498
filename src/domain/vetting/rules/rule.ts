import type { Candidates } from '../../candidates/candidates.ts';
import type { MatchColumns } from '../match/types.ts';
import type { OriginColumns } from '../origin/types.ts';
import type { Measures, SiteValues, ZoneSummary } from '../vetting.ts';
import { ANSWERS, NO_SITE, type Answer, type FindingColumn, type Strength } from './types.ts';

/** Everything that rules read. */
export interface RuleInput {
  readonly candidates: Candidates;
  readonly measures: Measures;
  /** null where no variable could be read. */
  readonly match: MatchColumns | null;
  readonly origin: OriginColumns;
  /** In the planting's order; there is at least one. */
  readonly sites: readonly SiteValues[];
  readonly zones: ZoneSummary;
  /** Index of the planting's species in the table of oaks, -1 not in it. */
  readonly species: number;
}

export type Told = Pick<
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
  return { ...told, strength, answer, sites: null };
}

/** A rule as it is asked of one site. */
export interface AskedOfSite {
  readonly told: Told;
  readonly test: (row: number) => Answer;
  /** How far beyond the limit a row is (below 0: within), to tell the worst of equal answers; in the same unit for all sites. */
  readonly beyond: (row: number) => number;
}

/** Fail over unknown over pass: a candidate has to suit every site. By index of ANSWERS. */
const SEVERITY = [0, 2, 1];
const UNKNOWN = ANSWERS.indexOf('unknown');

/**
 * The column of a rule that is asked of each site: of every row the worst answer, with the measure of that site.
 * @param all limit and what to check in words where there are several sites.
 */
export function findingOfSites(
  sites: readonly SiteValues[],
  strength: Exclude<Strength, 'off'>,
  all: Pick<Told, 'limit' | 'toCheck'>,
  ask: (site: SiteValues, index: number) => AskedOfSite,
): FindingColumn {
  const first = ask(sites[0], 0);
  const worst = finding(first.told, strength, first.test);
  if (sites.length === 1) return worst;
  const n = worst.answer.length;
  const answer = Uint8Array.from(worst.answer);
  const measure = Float64Array.from(worst.measure);
  const beyond = Float64Array.from({ length: n }, (_, i) => first.beyond(i));
  const known = Uint8Array.from(answer, (a) => (a === UNKNOWN ? 0 : 1));
  const site = new Uint8Array(n);
  const told = [first.told];
  for (let s = 1; s < sites.length; s++) {
    const one = ask(sites[s], s);
    const column = finding(one.told, strength, one.test);
    told.push(one.told);
    for (let i = 0; i < n; i++) {
      const rank = SEVERITY[column.answer[i]] - SEVERITY[answer[i]];
      const over = one.beyond(i);
      if (column.answer[i] !== UNKNOWN) known[i] = 1;
      if (rank < 0 || (rank === 0 && !(over > beyond[i]))) continue;
      answer[i] = column.answer[i];
      measure[i] = column.measure[i];
      beyond[i] = over;
      site[i] = s;
    }
  }
  for (let i = 0; i < n; i++) if (known[i] === 0) site[i] = NO_SITE;
  return {
    ...worst,
    ...all,
    answer,
    measure,
    sites: { site, limits: told.map((t) => t.limit), toCheck: told.map((t) => t.toCheck) },
  };
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
  return beyondBand(difference, below, above) <= 1e-9 * Math.max(1, below, above);
}

/** How far a difference lies outside the band from `below` under zero to `above` over it; below 0: inside. */
export const beyondBand = (difference: number, below: number, above: number): number =>
  Math.max(-below - difference, difference - above);
