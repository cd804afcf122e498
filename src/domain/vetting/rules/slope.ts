import type { Rules } from '../../plan/schema.ts';
import { atMost, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The ground is not too steep to gather on. */
export function slope(input: RuleInput, settings: Rules['slope']): FindingColumn | null {
  const { strength, most } = settings;
  if (strength === 'off') return null;
  return atMost(
    {
      rule: 'slope',
      title: 'Slope',
      measure: input.measures.slope,
      unit: '°',
      toCheck: 'load an elevation raster that covers the tree',
      from: 'slope',
    },
    { strength, most },
  );
}
