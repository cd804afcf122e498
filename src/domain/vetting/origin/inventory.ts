import type { Piece } from './piece.ts';

const WORDS = ['listed', 'not listed'] as const;
/** An entry this near is the tree itself whatever the accuracy, metres. */
const LEAST = 5;
/** With a position worse than this an entry nearby may be any tree, metres. */
const MOST = 30;
/** An inventory whose nearest entry is further away does not reach here, metres. */
const REACH = 1000;

/** Whether a street- or park-tree inventory lists a tree within the accuracy of the position (5 m at least). */
export const inventory: Piece = {
  id: 'inventory',
  title: 'Street- or park-tree inventory',
  theme: 'people',
  unit: '',
  from: 'inventory',
  words: WORDS,
  check: 'ask the town or park whether its tree inventory lists the tree',
  measure: ({ candidates, measures }) =>
    Float64Array.from(measures.inventory, (metres, i) => {
      if (Number.isNaN(metres) || metres > REACH) return NaN;
      const radius = Math.max(LEAST, candidates.accuracy[i] || 0);
      if (metres > radius) return WORDS.indexOf('not listed');
      return radius <= MOST ? WORDS.indexOf('listed') : NaN;
    }),
};
