import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The ground is not too steep to gather on. */
export function slope(input: RuleInput, settings: Rules['slope']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const measure = input.measures.slope;
  return finding(
    {
      rule: 'slope',
      title: 'Slope',
      measure,
      unit: '°',
      words: null,
      limit: `at most ${figure(settings.most)}°`,
      limits: { most: settings.most },
      toCheck: 'load an elevation raster that covers the tree',
      from: 'slope',
    },
    settings.strength,
    (i) => (measure[i] <= settings.most ? 'pass' : 'fail'),
  );
}
