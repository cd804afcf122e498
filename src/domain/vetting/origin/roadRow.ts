import type { Piece } from './piece.ts';

export const roadRow: Piece = {
  id: 'roadRow',
  title: 'Row along the road',
  theme: 'people',
  unit: 'trees',
  from: 'roadRow',
  words: null,
  check:
    'look whether trees of the species stand in a row along the road (positions good to 10 m are needed to see it)',
  measure: ({ measures }) => measures.roadRow,
};
