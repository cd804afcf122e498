import { discount } from './odds.ts';
import { pieceOf } from './pieces.ts';
import { THEMES } from './types.ts';

/** Weighs the evidence on one candidate at a time: the one place where log ratios become odds. */
export interface Weigher {
  /**
   * Natural log of the posterior odds.
   * @param logs natural log of the ratio of each piece before the discount of its theme; NaN where it is not known.
   * @param counted takes what went into the odds; 0 where not known.
   */
  readonly logOdds: (logs: ArrayLike<number>, counted: Float64Array) => number;
  /** Themes of which at least one piece is known. */
  readonly themes: (logs: ArrayLike<number>) => number;
}

/** The pieces of each theme that is there, as indices into `pieces`. A piece of no such id is in no theme. */
export const themeGroups = (pieces: readonly string[]): number[][] =>
  THEMES.map((theme) => pieces.flatMap((id, p) => (pieceOf(id)?.theme === theme ? [p] : []))).filter(
    (group) => group.length > 0,
  );

/**
 * Odds = prior × product of likelihood ratios (weights of evidence, Good 1950), the ratios of one theme discounted.
 * @param pieces ids, in the order of the log ratios. @param prior odds.
 */
export function weigher(pieces: readonly string[], prior: number): Weigher {
  const groups = themeGroups(pieces).map((at) => ({
    at,
    logs: new Float64Array(at.length),
    counted: new Float64Array(at.length),
  }));
  const start = Math.log(prior);
  return {
    logOdds(logs, counted) {
      let sum = start;
      for (const own of groups) {
        for (let k = 0; k < own.at.length; k++) own.logs[k] = logs[own.at[k]];
        discount(own.logs, own.counted);
        for (let k = 0; k < own.at.length; k++) {
          counted[own.at[k]] = own.counted[k];
          sum += own.counted[k];
        }
      }
      return sum;
    },
    themes(logs) {
      let known = 0;
      for (const { at } of groups) {
        for (let k = 0; k < at.length; k++) {
          if (Number.isNaN(logs[at[k]])) continue;
          known++;
          break;
        }
      }
      return known;
    },
  };
}
