import type { ChosenVariable, Spread } from '../vetting/match/types.ts';
import type { Planting } from './schema.ts';
import { sitesOf, siteTitle } from './sites.ts';

/** What is written into a file of the match surface, so that it can be read without the plan. */
export interface SurfaceAbout {
  readonly title: string;
  /** Says what the data is, where the plan does. */
  readonly notice: string;
  /** Items of the file's metadata by name. */
  readonly lines: Readonly<Record<string, string>>;
}

/** @param notice of the plan. @param spread of the same variables. */
export function surfaceAbout(
  notice: string,
  planting: Pick<Planting, 'title' | 'species' | 'site' | 'moreSites' | 'sitePeriod'>,
  variables: readonly ChosenVariable[],
  spread: Pick<Spread, 'from' | 'cells' | 'kept'>,
): SurfaceAbout {
  const sites = sitesOf(planting);
  const places = sites.map(
    (site, i) =>
      `${siteTitle(planting, i)} (lon ${site.lon.toFixed(5)}, lat ${site.lat.toFixed(5)}${site.area ? '; mean of its area' : ''})`,
  );
  const read = variables.map(({ variable, siteLayer }) =>
    [
      variable.title,
      variable.unit === '1' ? '' : variable.unit,
      variable.transform === 'log' ? 'logarithm' : '',
      variable.period,
      siteLayer.period === variable.period ? '' : `sites: ${siteLayer.period}`,
    ]
      .filter((text) => text !== '')
      .join(', '),
  );
  return {
    title: `Environmental match, ${planting.title}`,
    notice,
    lines: {
      measure:
        'share of pairs of places of one zone (or circle) that differ by more than this place and the site do: 1 = no difference, 0.05 = as different as the 95th percentile of such pairs' +
        (sites.length > 1 ? '; the least over the sites' : ''),
      planting: planting.title,
      species: planting.species,
      [sites.length > 1 ? 'sites' : 'site']: places.join('; '),
      variables: read.join('; '),
      spread: `${spread.from}${spread.cells > 0 ? `, ${spread.cells} cells` : ''}`,
      components: String(spread.kept),
      software: 'Kinstand',
    },
  };
}
