/**
 * The share of each log ratio that counts within one theme: the strongest in full, the next at half, then a quarter (ours:
 * pieces of a theme are not independent). Of equally strong ones the earlier ranks first. Written to `share`.
 *
 * @param logs natural log of the likelihood ratio of each piece of the theme; NaN not known: share 0, and no rank taken.
 */
export function shares(logs: ArrayLike<number>, share: Float64Array): void {
  const n = logs.length;
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(logs[i])) {
      share[i] = 0;
      continue;
    }
    let rank = 0;
    for (let j = 0; j < n; j++) {
      const stronger = Math.abs(logs[j]) - Math.abs(logs[i]);
      if (stronger > 0 || (stronger === 0 && j < i)) rank++;
    }
    share[i] = 2 ** -rank;
  }
}

/** What of each log ratio of one theme counts (see `shares`), written to `counted`; 0 where not known. */
export function discount(logs: ArrayLike<number>, counted: Float64Array): void {
  shares(logs, counted);
  for (let i = 0; i < logs.length; i++) counted[i] = counted[i] === 0 ? 0 : counted[i] * logs[i];
}

/** Probability of the odds whose natural log is given. */
export const probabilityOf = (logOdds: number): number => 1 / (1 + Math.exp(-logOdds));

/** Least probability of "likely natural", and greatest of "likely planted" (methods: natural origin). */
export const LIKELY_NATURAL = 0.8;
export const LIKELY_PLANTED = 0.2;
/** Fewer themes measured than this are not enough evidence. */
export const LEAST_THEMES = 2;
/** An answer that moves the log odds by less than this (half a per cent of the odds) could hardly move them. */
export const LEAST_MOVE = 0.005;
