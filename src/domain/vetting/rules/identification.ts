import type { Rules } from '../../plan/schema.ts';
import { finding, type RuleInput } from './rule.ts';
import type { FindingColumn } from './types.ts';

const WORDS = [
  'named person, with a key',
  'named person, key not recorded',
  'key used, nobody named',
  'named person, without a key',
] as const;
const NO_KEY = /^(?:no|none|n|false|0|by eye|not used)$/i;

/** The species is certain: somebody is named who identified the tree, and a key was used. Half of it is not known. */
export function identification(input: RuleInput, settings: Rules['identification']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const { n, text } = input.candidates;
  const measure = new Float64Array(n).fill(NaN);
  for (let i = 0; i < n; i++) {
    const named = (text.identifiedBy?.[i] ?? '') !== '';
    const key = text.keyUsed?.[i] ?? '';
    if (NO_KEY.test(key)) measure[i] = named ? 3 : NaN;
    else if (named) measure[i] = key === '' ? 1 : 0;
    else if (key !== '') measure[i] = 2;
  }
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
