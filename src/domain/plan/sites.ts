/** The sites of a planting: there is always one, and a tree has to suit them all. */
import { boxAround } from '../base/box.ts';
import type { Box } from '../base/geo.ts';
import type { Planting, Site } from './schema.ts';

/** In their order: the first is where the day starts and what the map is about. */
export const sitesOf = (p: Pick<Planting, 'site' | 'moreSites'>): readonly Site[] => [p.site, ...p.moreSites];

/** What a site is called on screen: its own name, else its number among several. */
export function siteTitle(p: Pick<Planting, 'site' | 'moreSites'>, index: number): string {
  const name = sitesOf(p)[index]?.name.trim() ?? '';
  if (name !== '') return name;
  return p.moreSites.length === 0 ? 'Planting site' : `Site ${index + 1}`;
}

/** The box around their places and areas; as boxAround where there are none. */
export const sitesBox = (sites: readonly Site[]): Box =>
  boxAround(
    sites.flatMap(({ lon, lat, area = [] }) => [
      [lon, lat] as const,
      ...area.flatMap((polygon) => polygon.at(0) ?? []),
    ]),
  );
