import type { ScoutingDay } from '../domain/scouting/types.ts';
import type { Stage } from '../state/session.svelte.ts';

/**
 * Numbers on the discs of the mother trees, by candidate row, the same on map, ledger and panel: their place in the day
 * while a day is looked at (as in the day sheet and the GPX file), their place in the set elsewhere.
 */
export function discNumbers(
  stage: Stage,
  members: readonly number[],
  day: ScoutingDay | null,
): ReadonlyMap<number, string> {
  const rows = stage === 'scouting' && day ? day.stops.map((s) => s.row) : members;
  return new Map(rows.map((row, i) => [row, String(i + 1)]));
}
