/** What is computed from elevation, in words: what the number is, and where the formula comes from (sources from memory). */
import type { Derivation } from './definition.ts';

export interface DerivationWords {
  /** What the number says, one sentence. */
  readonly what: string;
  /** Author and year, beside "computed from". */
  readonly short: string;
  readonly source: string;
  /** Where it has no value, and what north is. */
  readonly rules: string;
}

const HORN = 'Horn 1981, Proceedings of the IEEE 69:14-47';
const EDGES = 'Cells at the edge and beside missing elevations have no value.';
const NORTH = 'North is up on the grid of its elevations.';

/** @param radius of the relative position, metres; 0: the eight cells around. */
export function derivationWords(derivation: Derivation, radius: number): DerivationWords {
  switch (derivation) {
    case 'slope':
      return {
        what: 'Steepest slope of the ground through the eight cells around, in degrees.',
        short: 'Horn 1981',
        source: HORN,
        rules: EDGES,
      };
    case 'northness':
      return facing('cos(aspect) × sin(slope)', 'north', 'south');
    case 'eastness':
      return facing('sin(aspect) × sin(slope)', 'east', 'west');
    case 'relative position':
      return radius > 0
        ? {
            what: 'Topographic position index: elevation minus the mean of all cells whose centre lies within the radius, its own left out. Above zero towards a ridge, below zero towards a hollow.',
            short: 'Guisan, Weiss & Weiss 1999',
            source: 'Guisan, Weiss & Weiss 1999, Plant Ecology 143:107-122; Weiss 2001',
            rules: 'Cells nearer than the radius to the edge or to missing elevations have no value.',
          }
        : {
            what: 'Topographic position index: elevation minus the mean of the eight cells around. Above zero on a rise, below zero in a dip.',
            short: 'Wilson et al. 2007',
            source: 'Wilson et al. 2007, Marine Geodesy 30:3-35, after Weiss 2001',
            rules: EDGES,
          };
  }
}

/**
 * Weighted by the sine of the slope: the cosine of the aspect alone has no value on flat ground and leaps between -1 and 1
 * beside it, whereas this is 0 there and changes little where the ground does.
 */
const facing = (formula: string, to: string, from: string): DerivationWords => ({
  what: `${formula}: 1 is a wall that faces ${to}, −1 one that faces ${from}, 0 is flat ground or a slope to either side.`,
  short: 'Horn 1981; Stage 1976',
  source: `${HORN}; slope times a function of aspect: Stage 1976, Forest Science 22:457-460; a direction as cosine and sine: Zar 1999, Biostatistical Analysis`,
  rules: `${NORTH} ${EDGES}`,
});

/** What holds for all of them at points. */
export const TERRAIN_RULES = `${NORTH} ${EDGES}`;
