/** Match, from poor to like: monotone in lightness, so that poor sinks into the paper and like stands out. */
export const MATCH_RAMP = ['#efe9d6', '#c5d3bf', '#87b3a6', '#4a8585', '#14515a'] as const;

/** The same hues for dark paper, where what stands out is light. */
const ON_DARK = ['#2c3630', '#30544f', '#3f7f7b', '#74b3a8', '#c8ecdd'] as const;

export const matchRamp = (scheme: 'light' | 'dark'): readonly `#${string}`[] =>
  scheme === 'dark' ? ON_DARK : MATCH_RAMP;
