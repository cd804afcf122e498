import type { Rules } from '../../plan/schema.ts';
import { ORIGIN_VERDICTS } from '../origin/types.ts';
import { finding, type RuleInput } from './rule.ts';
import type { Answer, FindingColumn } from './types.ts';

/**
 * The verdict on origin is at least the class asked for. "Unsettled" is no verdict: where "likely natural" is asked for, it
 * is unknown, so that the tree is held back to be checked and not thrown away. So is "not enough evidence", always.
 */
export function origin(input: RuleInput, settings: Rules['origin']): FindingColumn | null {
  if (settings.strength === 'off') return null;
  const unsettled: Answer = settings.least === 'unsettled' ? 'pass' : 'unknown';
  const answers: readonly Answer[] = ['pass', unsettled, 'fail', 'unknown'];
  return finding(
    {
      rule: 'origin',
      title: 'Origin',
      measure: Float64Array.from(input.origin.verdict),
      unit: '',
      words: ORIGIN_VERDICTS,
      limit: settings.least === 'unsettled' ? 'not likely planted' : settings.least,
      limits: {},
      toCheck:
        'settle the origin: see the evidence that is not known, or ask the owner and record the answer as a statement',
      from: '',
    },
    settings.strength,
    (i) => answers[input.origin.verdict[i]],
  );
}
