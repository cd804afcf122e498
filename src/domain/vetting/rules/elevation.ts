import type { Rules } from '../../plan/schema.ts';
import { figure, finding, inBand, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The candidate stands at about the site's elevation; limits below and above it may differ and count as within. */
export function elevation(input: RuleInput, settings: Rules['elevation']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { lower, higher } = settings;
  const measure = input.measures.elevation.map((e) => e - input.site.elevation);
  return finding(
    {
      rule: 'elevation',
      title: 'Elevation',
      measure,
      unit: 'm',
      words: null,
      limit:
        lower === higher
          ? `within ${figure(lower)} m of the site`
          : `at most ${figure(lower)} m below and ${figure(higher)} m above the site`,
      limits: { lower, higher },
      toCheck: 'find the elevation of the tree and of the site',
      from: 'elevation',
    },
    settings.strength,
    (i) => (inBand(measure[i], lower, higher) ? 'pass' : 'fail'),
  );
}
