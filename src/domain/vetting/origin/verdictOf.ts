import { LEAST_THEMES, LIKELY_NATURAL, LIKELY_PLANTED } from './odds.ts';
import { ORIGIN_VERDICTS, type OriginVerdict } from './types.ts';

/** So that odds of 2 × 2 are odds of 4, in whatever order their logarithms were added. */
const ROUNDING = 1e-12;

/** Index into ORIGIN_VERDICTS. @param decided a decision on record needs no themes. */
export function verdictOf(probability: number, themes: number, decided = false): number {
  return ORIGIN_VERDICTS.indexOf(verdictWord(probability, themes, decided));
}

function verdictWord(probability: number, themes: number, decided: boolean): OriginVerdict {
  if (!decided && themes < LEAST_THEMES) return 'not enough evidence';
  if (probability >= LIKELY_NATURAL - ROUNDING) return 'likely natural';
  return probability <= LIKELY_PLANTED + ROUNDING ? 'likely planted' : 'unsettled';
}
