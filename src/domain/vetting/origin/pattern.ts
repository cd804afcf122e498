import { PATTERN_VERDICTS } from '../../candidates/pattern/types.ts';
import type { Piece } from './piece.ts';

/** How the trees of its species stand about it; too few trees say nothing. */
const WORDS: readonly string[] = PATTERN_VERDICTS.filter((v) => v !== 'too few');

export const pattern: Piece = {
  id: 'pattern',
  title: 'Pattern of the trees',
  theme: 'structure',
  unit: '',
  from: 'pattern',
  words: WORDS,
  check:
    'record the other trees of the species about it, at least 7, with positions good to 10 m: rows and even spacing show planting',
  measure: ({ measures }) =>
    Float64Array.from(measures.pattern, (v) => {
      const word = WORDS.indexOf(PATTERN_VERDICTS[v]);
      return word < 0 ? NaN : word;
    }),
};
