/** Match, from poor to like: monotone in lightness. */
export const MATCH_RAMP = ['#efe9d6', '#c5d3bf', '#87b3a6', '#4a8585', '#14515a'] as const;
