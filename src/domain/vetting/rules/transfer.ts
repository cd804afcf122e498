import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** Distance of the move from candidate to site, with limits of its own for the northward and the southward part. */
export function transfer(input: RuleInput, settings: Rules['transfer']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { km, northKm, southKm } = settings;
  const { distance, northward } = input.measures;
  const parts = [
    northKm < km ? `${figure(northKm)} km northward` : '',
    southKm < km ? `${figure(southKm)} km southward` : '',
  ];
  return finding(
    {
      rule: 'transfer',
      title: 'Transfer distance',
      measure: distance,
      unit: 'km',
      words: null,
      limit: `at most ${[`${figure(km)} km`, ...parts.filter(Boolean)].join(', ')}`,
      limits: { km, northKm, southKm },
      toCheck: 'give the position of the tree and of the site',
      from: 'distance',
    },
    settings.strength,
    (i) => {
      if (Number.isNaN(northward[i])) return 'unknown';
      return distance[i] <= km && northward[i] <= northKm && -northward[i] <= southKm ? 'pass' : 'fail';
    },
  );
}
