import type { Piece } from './piece.ts';

export const diameters: Piece = {
  id: 'diameters',
  title: 'Spread of the diameters',
  theme: 'structure',
  unit: 'share',
  from: 'diameterSpread',
  words: null,
  check:
    'measure the diameters of at least 5 trees of the species about it: trees planted together are of a size',
  measure: ({ measures }) => measures.diameterSpread,
};
