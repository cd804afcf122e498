import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The nearest drivable road is near enough to carry seed out. */
export function road(input: RuleInput, settings: Rules['road']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const measure = input.measures.drivable;
  return finding(
    {
      rule: 'road',
      title: 'Distance to a drivable road',
      measure,
      unit: 'm',
      words: null,
      limit: `at most ${figure(settings.most)} m`,
      limits: { most: settings.most },
      toCheck: 'load road lines that reach the tree',
      from: 'drivable',
    },
    settings.strength,
    (i) => (measure[i] <= settings.most ? 'pass' : 'fail'),
  );
}
