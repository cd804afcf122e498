import type { Rules } from '../../plan/schema.ts';
import { atMost, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The position is good enough for what is read from the layers, and for finding the tree again. */
export function accuracy(input: RuleInput, settings: Rules['accuracy']): FindingColumn | null {
  const { strength, most } = settings;
  if (strength === 'off') return null;
  return atMost(
    {
      rule: 'accuracy',
      title: 'Position accuracy',
      measure: input.candidates.accuracy,
      unit: 'm',
      toCheck: 'take the position again at the tree, and note its accuracy',
      from: '',
    },
    { strength, most },
  );
}
