import type { Rules } from '../../plan/schema.ts';
import { figure, finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

/** The position is good enough for what is read from the layers, and for finding the tree again. */
export function accuracy(input: RuleInput, settings: Rules['accuracy']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const measure = input.candidates.accuracy;
  return finding(
    {
      rule: 'accuracy',
      title: 'Position accuracy',
      measure,
      unit: 'm',
      words: null,
      limit: `at most ${figure(settings.most)} m`,
      limits: { most: settings.most },
      toCheck: 'take the position again at the tree, and note its accuracy',
      from: '',
    },
    settings.strength,
    (i) => (measure[i] <= settings.most ? 'pass' : 'fail'),
  );
}
