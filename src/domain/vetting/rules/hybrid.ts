import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** Few enough other oaks of the section stand near, as far as they are on record: they may have sent the pollen. */
export function hybrid(input: RuleInput, settings: Rules['hybrid']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { most, radius } = settings;
  const measure = input.measures.kin;
  return finding(
    {
      rule: 'hybrid',
      title: 'Hybrid risk',
      measure,
      unit: 'trees',
      words: null,
      limit: `at most ${figure(most)} other oaks of the section on record within ${figure(radius)} m`,
      limits: { most, radius },
      toCheck: `look for other oaks of the section within ${figure(radius)} m and record them`,
      from: 'kin',
    },
    settings.strength,
    (i) => (measure[i] <= most ? 'pass' : 'fail'),
  );
}
