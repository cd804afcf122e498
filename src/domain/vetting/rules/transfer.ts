import type { Rules } from '../../plan/schema.ts';
import { moves } from '../moves.ts';
import { figure, findingOfSites, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** Distance of the move from candidate to site, with limits of its own for the northward and the southward part. */
export function transfer(input: RuleInput, settings: Rules['transfer']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { km, northKm, southKm } = settings;
  const { sites, candidates, measures } = input;
  const parts = [
    northKm < km ? `${figure(northKm)} km northward` : '',
    southKm < km ? `${figure(southKm)} km southward` : '',
  ];
  const limit = `at most ${[`${figure(km)} km`, ...parts.filter(Boolean)].join(', ')}`;
  const toCheck = (site: string): string => `give the position of the tree and of ${site}`;
  return findingOfSites(
    sites,
    settings.strength,
    { limit: `${limit} to each site`, toCheck: toCheck('each site') },
    (site) => {
      // Of several sites the measures hold the farthest one alone.
      const { distance, northward } = sites.length === 1 ? measures : moves(candidates, site);
      return {
        told: {
          rule: 'transfer',
          title: 'Transfer distance',
          measure: distance,
          unit: 'km',
          words: null,
          limit,
          limits: { km, northKm, southKm },
          toCheck: toCheck('the site'),
          from: 'distance',
        },
        test: (i) => {
          if (Number.isNaN(northward[i])) return 'unknown';
          return distance[i] <= km && northward[i] <= northKm && -northward[i] <= southKm ? 'pass' : 'fail';
        },
        beyond: (i) => Math.max(distance[i] - km, northward[i] - northKm, -northward[i] - southKm),
      };
    },
  );
}
