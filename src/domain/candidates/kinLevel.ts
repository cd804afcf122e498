/** By index: how likely hybrid acorns are, in words. */
export const KIN_LEVELS = ['none on record', 'low', 'moderate', 'high'] as const;

/** Other oaks of the section within the radius. */
export interface KinTally {
  readonly count: number;
  /** Metres to the nearest of them; NaN where there is none. */
  readonly nearest: number;
  /** Of all oaks of the section there, the tree itself counted among its own kind; 0-1. */
  readonly share: number;
}

/**
 * The scale is ours: no share of hybrid acorns stands behind it. Each of three measures gives 0, 1 or 2 points: number (3 and
 * 10 or more), metres to the nearest (under 50 and under 20: crowns that meet) and share (10 % and 50 % or more: the rarer
 * kind gets more foreign pollen, Hubbs 1955, Systematic Zoology 4; for oaks Lepais et al. 2009, Molecular Ecology 18; both
 * from memory). 0-1 points are low, 2-3 moderate, more high.
 */
function levelOf({ count, nearest, share }: KinTally): number {
  if (count === 0) return 0;
  const points =
    (count >= 10 ? 2 : count >= 3 ? 1 : 0) +
    (nearest < 20 ? 2 : nearest < 50 ? 1 : 0) +
    (share >= 0.5 ? 2 : share >= 0.1 ? 1 : 0);
  return points <= 1 ? 1 : points <= 3 ? 2 : 3;
}

/**
 * Index into KIN_LEVELS. Trees whose identification is doubtful raise it by one step at most: most of them are what they are
 * recorded as.
 * @param sure others by name. @param possible those, and doubtful trees counted as others too.
 */
export function kinLevel(sure: KinTally, possible: KinTally): number {
  const level = levelOf(sure);
  return levelOf(possible) > level ? level + 1 : level;
}
