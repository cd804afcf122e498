import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The environmental match at the candidate's position is at least the limit. */
export function match(input: RuleInput, settings: Rules['match']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const measure = input.match?.match ?? new Float64Array(input.candidates.n).fill(NaN);
  return finding(
    {
      rule: 'match',
      title: 'Environmental match',
      measure,
      unit: '',
      words: null,
      limit: `at least ${figure(settings.least)}`,
      limits: { least: settings.least },
      toCheck: 'load layers of the variables that cover both the tree and the site',
      from: '',
    },
    settings.strength,
    (i) => (measure[i] >= settings.least ? 'pass' : 'fail'),
  );
}
