/** All that a vetting reads at the sites of a planting. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { SiteValues } from '../../domain/vetting/vetting.ts';
import { layersOf, type Desk } from './desk.ts';
import type { MatchSite } from './matchColumns.ts';
import type { Memo } from './memo.ts';
import type { OpenVariable } from './openVariables.ts';
import { siteElevation, siteValues, type SiteToRead } from './siteValues.ts';
import { zonesOn } from './zonesOn.ts';

export interface SitesRead {
  readonly sites: readonly SiteValues[];
  /** What the match is taken from; a Failure 'variables' where an outline cannot be followed. */
  readonly compared: Result<readonly MatchSite[]>;
  readonly notes: readonly string[];
}

/** Only trouble of reading is a Failure: what cannot be known of a site leaves the rest as it is. */
export async function readSites(
  desk: Desk,
  toRead: readonly SiteToRead[],
  variables: readonly OpenVariable[],
  work: Work,
  memo: Memo,
): Promise<Result<SitesRead>> {
  const sites: SiteValues[] = [];
  const notes: string[] = [];
  const readings: MatchSite[] = [];
  let compared: SitesRead['compared'] = ok(readings);
  for (const [s, site] of toRead.entries()) {
    work.progress?.(s, toRead.length, 'sites read');
    await work.pause?.();
    const { lon, lat, name, called } = site;
    const height = await siteElevation(layersOf(desk, 'elevation'), site, work, memo);
    if (!height.ok && height.failure.code !== 'variables') return height;
    const values = await siteValues(variables, site, work, memo);
    if (!values.ok && values.failure.code !== 'variables') return values;
    if (height.ok) notes.push(...height.value.notes);
    else notes.push(`Elevation of the site is unknown: ${height.failure.where} ${height.failure.what}`);
    if (values.ok) {
      notes.push(...values.value.notes);
      readings.push({ lon, lat, called, ...values.value });
    } else if (compared.ok) compared = values;
    sites.push({
      ...{ lon, lat, name },
      elevation: height.ok ? height.value.elevation : NaN,
      ...(height.ok && height.value.elevationRange ? { elevationRange: height.value.elevationRange } : {}),
      zone: zonesOn(desk)?.zoneOf(lon, lat) ?? -1,
      reading: values.ok && variables.length > 0 ? values.value.reading : null,
    });
  }
  // The elevation may be a variable too: what is said of it is said once.
  return ok({ sites, compared, notes: [...new Set(notes)] });
}
