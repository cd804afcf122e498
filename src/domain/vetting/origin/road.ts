import type { Piece } from './piece.ts';

export const road: Piece = {
  id: 'road',
  title: 'Nearest road edge',
  theme: 'people',
  unit: 'm',
  from: 'roadEdge',
  words: null,
  check: 'load road lines, or look at an air photo',
  measure: ({ measures }) => measures.roadEdge,
};
