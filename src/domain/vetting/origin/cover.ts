import { GROUNDS, type Ground } from '../../layers/landcover.ts';
import type { Piece } from './piece.ts';

const WORDS = [
  'closed forest',
  'forest edge',
  'opening',
  'pasture',
  'crop field',
  'developed beside forest',
  'developed, open space',
  'developed',
] as const;

/** Share of forest within 100 m from which a place is inside closed forest, and from which forest is near (ours). */
const CLOSED = 0.8;
const NEAR = 0.2;

/**
 * The ground at the tree and the forest within 100 m, read together: a class of 30 m cells cannot tell a tree on an old
 * field edge from one on a lawn. Open water under a tree is a position that is off, so nothing is known.
 */
export const cover: Piece = {
  id: 'cover',
  title: 'Ground at the tree',
  theme: 'ground use',
  unit: '',
  from: 'cover',
  words: WORDS,
  check: 'load a land-cover raster, or look at an air photo',
  measure: ({ measures }) =>
    Float64Array.from(measures.ground, (ground, i) => {
      const word = wordOf(GROUNDS[ground] ?? null, measures.forest100[i]);
      return word === null ? NaN : WORDS.indexOf(word);
    }),
};

function wordOf(ground: Ground | null, forest: number): (typeof WORDS)[number] | null {
  switch (ground) {
    case null:
    case 'water':
      return null;
    case 'developed':
      return 'developed';
    case 'developed open':
      return forest >= NEAR ? 'developed beside forest' : 'developed, open space';
    case 'forest':
      if (Number.isNaN(forest)) return null;
      return forest >= CLOSED ? 'closed forest' : 'forest edge';
    case 'open':
    case 'barren':
    case 'wetland':
    case 'pasture':
    case 'crop':
      if (forest >= NEAR) return 'forest edge';
      return ground === 'pasture' ? 'pasture' : ground === 'crop' ? 'crop field' : 'opening';
  }
}
