import type { Place } from '../base/geo.ts';
import type { Candidates } from '../candidates/candidates.ts';
import type { Planting } from '../plan/schema.ts';

/** What a scouting day is planned from. */
export interface ScoutingInputs {
  readonly key: string;
  readonly stops: ReadonlyArray<
    Place & { readonly row: number; readonly id: string; readonly title: string }
  >;
  readonly start: Place & { readonly name: string };
  /** null: back to the start. */
  readonly end: (Place & { readonly name: string }) | null;
  /** Minutes after midnight. */
  readonly leave: number;
  readonly hours: number;
  readonly stopMinutes: number;
  readonly kmh: number;
  readonly detour: number;
}

/** The day's inputs for the members of a parent set; null where there is nobody to visit. Without a start place the day starts at the site. */
export function routeInputs(
  planting: Planting,
  members: readonly number[],
  candidates: Candidates,
  key: string,
): ScoutingInputs | null {
  if (members.length === 0) return null;
  const { start, end, leave, hours, stopMinutes, kmh, detour } = planting.scouting;
  const site = {
    lon: planting.site.lon,
    lat: planting.site.lat,
    name: planting.site.name || 'Planting site',
  };
  return {
    key,
    stops: members.map((row) => ({
      row,
      id: candidates.id[row],
      title: candidates.text.name?.[row] || candidates.id[row],
      lon: candidates.lon[row],
      lat: candidates.lat[row],
    })),
    start: start ? { ...start, name: start.name || 'Start' } : site,
    end: end ? { ...end, name: end.name || 'End' } : null,
    leave,
    hours,
    stopMinutes,
    kmh,
    detour,
  };
}
