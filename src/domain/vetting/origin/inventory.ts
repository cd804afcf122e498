import { LEAST_MATCH, matchRadius } from '../../candidates/inventory.ts';
import type { Piece } from './piece.ts';

const WORDS = ['listed', 'not listed'] as const;

/** Whether a street-, park- or campus-tree list holds a tree within the accuracy of the position (5 m at least, at most 30 m). */
export const inventory: Piece = {
  id: 'inventory',
  title: 'Street- or park-tree inventory',
  theme: 'people',
  unit: '',
  from: 'inventory',
  words: WORDS,
  check: 'ask the town, park or campus whether its tree inventory lists the tree',
  measure: ({ candidates, measures }) =>
    Float64Array.from(measures.inventory, (metres, i) => {
      if (Number.isNaN(metres)) return NaN;
      const accuracy = candidates.accuracy[i] || 0;
      if (metres > Math.max(LEAST_MATCH, accuracy)) return WORDS.indexOf('not listed');
      return metres <= matchRadius(accuracy) ? WORDS.indexOf('listed') : NaN;
    }),
};
