import { zoneRelations } from '../../layers/zoneRelations.ts';
import type { Rules } from '../../plan/schema.ts';
import { findingOfSites, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** In the order of ZONE_RELATIONS. */
const WORDS = ['home zone', 'adjacent zone', 'corner only', 'another zone'] as const;
const OTHER = WORDS.indexOf('another zone');

/** The candidate's zone is the site's, or next to it: a common edge, or a corner alone where the user lets it count. */
export function zone(input: RuleInput, settings: Rules['zone']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { adjacency, keys } = input.zones;
  const passes = [true, settings.adjacent, settings.adjacent && settings.cornerCounts, false];
  const also = settings.adjacent ? ` or adjacent${settings.cornerCounts ? ' (a corner counts)' : ''}` : '';
  const toCheck = (held: boolean, sites: string): string =>
    held ? 'find out which zone the tree stands in' : `load zones that hold ${sites}`;
  const allHeld = input.sites.every((s) => s.zone >= 0);
  return findingOfSites(
    input.sites,
    settings.strength,
    { limit: `zone of each site${also}`, toCheck: toCheck(allHeld, 'each site') },
    ({ zone: home }) => {
      const relation = zoneRelations(adjacency, keys.length, home);
      const measure = Float64Array.from(input.measures.zone, (z) => {
        if (home < 0 || z < 0) return NaN;
        // Without a table of neighbours a zone that is not the home zone may be next to it or not.
        return settings.adjacent && adjacency === null && z !== home ? NaN : (relation[z] ?? OTHER);
      });
      return {
        told: {
          rule: 'zone',
          title: 'Zone',
          measure,
          unit: '',
          words: WORDS,
          limit: `zone ${keys[home] ?? ''} of the site${also}`,
          limits: { snap: settings.snap },
          toCheck: toCheck(home >= 0, 'the site'),
          from: 'zone',
        },
        test: (i) => (passes[measure[i]] ? 'pass' : 'fail'),
        beyond: (i) => measure[i],
      };
    },
  );
}
