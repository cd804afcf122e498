import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

const WORDS = ['single record', 'repeats an earlier record'] as const;

/**
 * The record stands for a tree of its own. One that seems to repeat an earlier record is held back, not ruled out: only a
 * look can tell two neighbours from one tree. Always a must; the same tree chosen twice would spoil the parent set.
 */
export function record(input: RuleInput): FindingColumn {
  const { duplicateOf } = input.candidates;
  return finding(
    {
      rule: 'record',
      title: 'Single record',
      measure: Float64Array.from(duplicateOf, (d) => (d >= 0 ? 1 : 0)),
      unit: '',
      words: WORDS,
      limit: 'a tree of its own',
      limits: {},
      toCheck: 'see whether this is the same tree as the earlier record, and merge them if it is',
      from: '',
    },
    'must',
    (i) => (duplicateOf[i] >= 0 ? 'unknown' : 'pass'),
  );
}
