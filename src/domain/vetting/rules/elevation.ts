import type { Rules } from '../../plan/schema.ts';
import { beyondBand, figure, findingOfSites, inBand, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The candidate stands at about the site's elevation; limits below and above it may differ and count as within. */
export function elevation(input: RuleInput, settings: Rules['elevation']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { lower, higher } = settings;
  const limit = (of: string): string =>
    lower === higher
      ? `within ${figure(lower)} m of ${of}`
      : `at most ${figure(lower)} m below and ${figure(higher)} m above ${of}`;
  return findingOfSites(
    input.sites,
    settings.strength,
    { limit: limit('each site'), toCheck: 'find the elevation of the tree and of each site' },
    (site) => {
      const measure = input.measures.elevation.map((e) => e - site.elevation);
      return {
        told: {
          rule: 'elevation',
          title: 'Elevation',
          measure,
          unit: 'm',
          words: null,
          limit: limit('the site'),
          limits: { lower, higher },
          toCheck: 'find the elevation of the tree and of the site',
          from: 'elevation',
        },
        test: (i) => (inBand(measure[i], lower, higher) ? 'pass' : 'fail'),
        beyond: (i) => beyondBand(measure[i], lower, higher),
      };
    },
  );
}
