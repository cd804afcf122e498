import type { Distances } from './distance.ts';

/** The comparison with the site that a place is least like, and the match with every site. */
export interface LeastDistances extends Distances {
  /** Match with each site, a column a site. */
  readonly bySite: readonly Float64Array[];
  /** Index of the site with the least match (the greatest D²), the first of equals; 0 where unknown. */
  readonly site: Uint8Array;
}

/**
 * The least match of several sites that are planted with the same seed: a place has to suit every one, so that d2, match,
 * sigma, parts and limiting are those of the site that it is least like. Unknown at one site is unknown altogether (that
 * one might be the worst), while `bySite` keeps what is known. `novel` hangs on the place alone and is any site's.
 * The greatest D² is looked for, not the least match, which runs out of digits far out.
 * @param bySite the distances of the same n places from each of 1 to 256 sites, by the same metric.
 */
export const leastOf = (bySite: readonly Distances[]): LeastDistances => {
  const [first, ...others] = bySite;
  return others.reduce(andSite, ofOneSite(first));
};

export const ofOneSite = (only: Distances): LeastDistances => ({
  ...only,
  bySite: [only.match],
  site: new Uint8Array(only.d2.length),
});

/** The least with one more site, so that the columns of two are in memory at once and not those of all. */
export function andSite(least: LeastDistances, next: Distances): LeastDistances {
  const index = least.bySite.length;
  // Where it is unknown at either, the columns of that one say so.
  const takes = least.d2.map((held, i) => (held === held && !(next.d2[i] <= held) ? 1 : 0));
  const taken = (a: Float64Array, b: Float64Array): Float64Array => a.map((x, i) => (takes[i] ? b[i] : x));
  const d2 = taken(least.d2, next.d2);
  return {
    d2,
    match: taken(least.match, next.match),
    sigma: taken(least.sigma, next.sigma),
    parts: least.parts.map((part, v) => taken(part, next.parts[v])),
    limiting: least.limiting.map((x, i) => (takes[i] ? next.limiting[i] : x)),
    novel: least.novel,
    bySite: [...least.bySite, next.match],
    site: least.site.map((s, i) => (Number.isNaN(d2[i]) ? 0 : takes[i] ? index : s)),
  };
}
