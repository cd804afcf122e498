import { PERMISSIONS } from '../../candidates/candidates.ts';
import type { Rules } from '../../plan/schema.ts';
import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/**
 * Access to the ground is not refused (methods, rules). Trees are chosen before owners are asked, so a question not asked or
 * not answered yet passes here; the word is shown, and the scouting day lists who must still be asked.
 */
export function permission(input: RuleInput, settings: Rules['permission']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const measure = Float64Array.from(input.candidates.permission);
  return finding(
    {
      rule: 'permission',
      title: 'Permission',
      measure,
      unit: '',
      words: PERMISSIONS,
      limit: 'not refused',
      limits: {},
      toCheck: 'do not enter: the owner refused. Ask again, or leave the tree out',
      from: '',
    },
    settings.strength,
    (i) => (PERMISSIONS[measure[i]] === 'refused' ? 'fail' : 'pass'),
  );
}
