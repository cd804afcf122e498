import type { Piece } from './piece.ts';

export const building: Piece = {
  id: 'building',
  title: 'Nearest building',
  theme: 'people',
  unit: 'm',
  from: 'building',
  words: null,
  check: 'load building outlines, or look at an air photo',
  measure: ({ measures }) => measures.building,
};
