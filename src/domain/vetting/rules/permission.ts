import { PERMISSIONS } from '../../candidates/candidates.ts';
import type { Rules } from '../../plan/schema.ts';
import { finding, type RuleInput } from './rule.ts';
import type { Answer, FindingColumn } from './types.ts';

const ANSWER: Readonly<Record<(typeof PERMISSIONS)[number], Answer>> = {
  unknown: 'unknown',
  asked: 'unknown',
  granted: 'pass',
  refused: 'fail',
};

/** Permission to enter the ground and gather is granted. A question that nobody has answered yet is no permission. */
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
      limit: 'granted',
      limits: {},
      toCheck: 'ask the owner for permission in writing; do not enter before it is given',
      from: '',
    },
    settings.strength,
    (i) => ANSWER[PERMISSIONS[measure[i]]],
  );
}
