import type { Piece } from './piece.ts';

export const range: Piece = {
  id: 'range',
  title: 'Outside the native range',
  theme: 'range',
  unit: 'm',
  from: 'range',
  words: null,
  check: 'load a native-range polygon of the species',
  measure: ({ measures }) => measures.range,
};
