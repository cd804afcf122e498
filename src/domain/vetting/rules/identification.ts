import { namedWithDoubt } from '../../candidates/doubts.ts';
import { IDENTIFIED, identified } from '../../candidates/identified.ts';
import type { Rules } from '../../plan/schema.ts';
import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

const WORDS = [...IDENTIFIED, 'named with doubt'] as const;
const DOUBT = WORDS.length - 1;

/**
 * The species is certain: somebody is named who identified the tree, and a key was used. Half of it is not known, nor is a
 * name written with doubt ("cf.", "aff.", "?"), whoever gave it.
 */
export function identification(input: RuleInput, settings: Rules['identification']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { candidates } = input;
  const measure = Float64Array.from({ length: candidates.n }, (_, i) =>
    namedWithDoubt(candidates, i) ? DOUBT : identified(candidates, i),
  );
  return finding(
    {
      rule: 'identification',
      title: 'Identification',
      measure,
      unit: '',
      words: WORDS,
      limit: 'identified by a named person with a key',
      limits: {},
      toCheck: 'identify the tree with a key to the oaks, and record who did',
      from: '',
    },
    settings.strength,
    (i) => (measure[i] === 0 ? 'pass' : measure[i] === 3 ? 'fail' : 'unknown'),
  );
}
