import type { Piece } from './piece.ts';

export const developed100: Piece = {
  id: 'developed100',
  title: 'Developed land within 100 m',
  theme: 'ground use',
  unit: 'share',
  from: 'developed100',
  words: null,
  check: 'load a land-cover raster, or look at an air photo',
  measure: ({ measures }) => measures.developed100,
};
