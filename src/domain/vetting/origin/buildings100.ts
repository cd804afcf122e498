import type { Piece } from './piece.ts';

export const buildings100: Piece = {
  id: 'buildings100',
  title: 'Buildings within 100 m',
  theme: 'people',
  unit: 'buildings',
  from: 'buildings100',
  words: null,
  check: 'load building outlines, or look at an air photo',
  measure: ({ measures }) => measures.buildings100,
};
