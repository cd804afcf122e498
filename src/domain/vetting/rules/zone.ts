import type { Rules } from '../../plan/schema.ts';
import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

const WORDS = ['home zone', 'adjacent zone', 'corner only', 'another zone'] as const;
const [HOME, ADJACENT, CORNER, OTHER] = [0, 1, 2, 3];

/** The candidate's zone is the site's, or next to it: a common edge, or a corner alone where the user lets it count. */
export function zone(input: RuleInput, settings: Rules['zone']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const home = input.site.zone;
  const { adjacency, keys } = input.zones;
  const relation = new Uint8Array(Math.max(keys.length, home + 1)).fill(OTHER);
  for (const { a, b, contact } of adjacency?.pairs ?? []) {
    const neighbour = a === home ? b : b === home ? a : -1;
    if (neighbour >= 0) relation[neighbour] = contact === 'edge' ? ADJACENT : CORNER;
  }
  if (home >= 0) relation[home] = HOME;
  const measure = Float64Array.from(input.measures.zone, (z) => {
    if (home < 0 || z < 0) return NaN;
    // Without a table of neighbours a zone that is not the home zone may be next to it or not.
    return settings.adjacent && adjacency === null && z !== home ? NaN : (relation[z] ?? OTHER);
  });
  const passes = [true, settings.adjacent, settings.adjacent && settings.cornerCounts, false];
  const homeKey = keys[home] ?? '';
  return finding(
    {
      rule: 'zone',
      title: 'Zone',
      measure,
      unit: '',
      words: WORDS,
      limit: `zone ${homeKey} of the site${settings.adjacent ? ` or adjacent${settings.cornerCounts ? ' (a corner counts)' : ''}` : ''}`,
      limits: { snap: settings.snap },
      toCheck: home < 0 ? 'load zones that hold the site' : 'find out which zone the tree stands in',
      from: 'zone',
    },
    settings.strength,
    (i) => (passes[measure[i]] ? 'pass' : 'fail'),
  );
}
