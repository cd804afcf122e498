import type { Piece } from './piece.ts';

export const developed500: Piece = {
  id: 'developed500',
  title: 'Developed land within 500 m',
  theme: 'ground use',
  unit: 'share',
  from: 'developed500',
  words: null,
  check: 'load a land-cover raster, or look at an air photo',
  measure: ({ measures }) => measures.developed500,
};
