import type { Piece } from './piece.ts';

export const road: Piece = {
  id: 'road',
  title: 'Nearest road',
  theme: 'people',
  unit: 'm',
  from: 'road',
  words: null,
  check: 'load road lines, or look at an air photo',
  measure: ({ measures }) => measures.road,
};
