/** The sites' values of a planting's variables, for the screen: as the vetting reads them, but needing no candidates. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { SiteReading } from '../../domain/vetting/match/types.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';
import { memoOf } from './memo.ts';
import { openVariables } from './openVariables.ts';
import { sitesToRead, siteValues } from './siteValues.ts';

/** Failures 'variables': those of openVariables; an outline that cannot be followed. What a site does not have is NaN. */
export async function atSites(
  desk: Desk,
  { layers, planting }: Jobs['atSites']['input'],
  work: Work,
): Promise<Result<Jobs['atSites']['output']>> {
  const variables = openVariables(desk, planting, layers);
  if (!variables.ok) return variables;
  const memo = memoOf(desk);
  const readings: SiteReading[] = [];
  for (const site of sitesToRead(planting)) {
    const read = await siteValues(variables.value, site, work, memo);
    if (!read.ok) return read;
    readings.push(read.value.reading);
    await work.pause?.();
  }
  return ok(readings);
}
