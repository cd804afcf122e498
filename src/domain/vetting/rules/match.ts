import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import { NO_SITE, type FindingColumn } from './types.ts';

/** The environmental match at the candidate's position is at least the limit: with several sites, with each of them. */
export function match(input: RuleInput, settings: Rules['match']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const several = input.sites.length > 1;
  const measure = input.match?.match ?? new Float64Array(input.candidates.n).fill(NaN);
  const limit = `at least ${figure(settings.least)}`;
  const toCheck = `load layers of the variables that cover both the tree and ${several ? 'each' : 'the'} site`;
  const column = finding(
    {
      rule: 'match',
      title: 'Environmental match',
      measure,
      unit: '',
      words: null,
      limit: several ? `${limit} with each site` : limit,
      limits: { least: settings.least },
      toCheck,
      from: '',
    },
    settings.strength,
    (i) => (measure[i] >= settings.least ? 'pass' : 'fail'),
  );
  if (!several) return column;
  // The match is the least over the sites already; where it is unknown it is so for the candidate.
  const site = measure.map((m, i) => (Number.isNaN(m) ? NO_SITE : (input.match?.site[i] ?? NO_SITE)));
  return {
    ...column,
    sites: {
      site: Uint8Array.from(site),
      limits: input.sites.map(() => limit),
      toCheck: input.sites.map(() => toCheck),
    },
  };
}
