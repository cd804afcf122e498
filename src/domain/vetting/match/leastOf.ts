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
export function leastOf(bySite: readonly Distances[]): LeastDistances {
  const [first] = bySite;
  const match = bySite.map((s) => s.match);
  const n = first.d2.length;
  const site = new Uint8Array(n);
  if (bySite.length === 1) return { ...first, bySite: match, site };
  for (let i = 0; i < n; i++)
    for (let s = 1; s < bySite.length; s++) {
      const held = bySite[site[i]].d2[i];
      // A site where it is unknown stands for the place: its columns say so.
      if (held === held && !(bySite[s].d2[i] <= held)) site[i] = s;
    }
  const taken = (column: (d: Distances) => Float64Array): Float64Array =>
    Float64Array.from(site, (s, i) => column(bySite[s])[i]);
  const least = {
    d2: taken((d) => d.d2),
    match: taken((d) => d.match),
    sigma: taken((d) => d.sigma),
    parts: first.parts.map((_, v) => taken((d) => d.parts[v])),
    limiting: Int8Array.from(site, (s, i) => bySite[s].limiting[i]),
    novel: first.novel,
    bySite: match,
    site,
  };
  for (let i = 0; i < n; i++) if (Number.isNaN(least.d2[i])) site[i] = 0;
  return least;
}
