import type { Rules } from '../../plan/schema.ts';
import { atMost, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The nearest drivable road is near enough to carry seed out. */
export function road(input: RuleInput, settings: Rules['road']): FindingColumn | null {
  const { strength, most } = settings;
  if (strength === 'off') return null;
  return atMost(
    {
      rule: 'road',
      title: 'Distance to a drivable road',
      measure: input.measures.drivable,
      unit: 'm',
      toCheck: 'load road lines that reach the tree',
      from: 'drivable',
    },
    { strength, most },
  );
}
