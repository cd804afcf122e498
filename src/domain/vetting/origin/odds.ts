/**
 * The share of each log ratio that counts within one theme: the strongest in full, the next at half, then a quarter (ours:
 * pieces of a theme are not independent). Of equally strong ones the earlier ranks first. Written to `counted`.
 *
 * @param logs natural log of the likelihood ratio of each piece of the theme; 0 takes no rank away from the rest.
 */
export function discount(logs: ArrayLike<number>, counted: Float64Array): void {
  const n = logs.length;
  for (let i = 0; i < n; i++) {
    let rank = 0;
    for (let j = 0; j < n; j++) {
      const stronger = Math.abs(logs[j]) - Math.abs(logs[i]);
      if (stronger > 0 || (stronger === 0 && j < i)) rank++;
    }
    counted[i] = logs[i] / 2 ** rank;
  }
}

/** Probability of the odds whose natural log is given. */
export const probabilityOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));

/** Least probability of "likely natural", and greatest of "likely planted" (methods: natural origin). */
export const LIKELY_NATURAL = 0.8;
export const LIKELY_PLANTED = 0.2;
/** Fewer themes measured than this are not enough evidence. */
export const LEAST_THEMES = 2;
