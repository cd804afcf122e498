/** Results that name candidates by row, for a table in which the same trees have other rows. */
import type { ScoutingDay } from '../domain/scouting/types.ts';
import type { ChoiceOutput } from '../jobs/protocol.ts';

/** New row of an old one; -1: it is gone. */
export type RowMap = (row: number) => number;

export function rowMap(from: readonly string[], to: readonly string[]): RowMap {
  if (from === to) return (row) => row;
  const rowOf = new Map(to.map((id, row) => [id, row]));
  return (row) => rowOf.get(from[row]) ?? -1;
}

export function followChoice(choice: ChoiceOutput, to: RowMap): ChoiceOutput {
  const rows = (list: readonly number[]): number[] => list.map(to).filter((row) => row >= 0);
  const { set, reserves } = choice;
  return {
    ...choice,
    set: {
      ...set,
      members: rows(set.members),
      bottlenecks: set.bottlenecks.map((b) => ({ ...b, rows: rows(b.rows) })),
      conflictingLocks: set.conflictingLocks.flatMap(([a, b]) =>
        to(a) < 0 || to(b) < 0 ? [] : [[to(a), to(b)] as const],
      ),
    },
    reserves: {
      reserves: rows(reserves.reserves),
      standIns: reserves.standIns.flatMap((s) =>
        to(s.row) < 0 || to(s.member) < 0 ? [] : [{ row: to(s.row), member: to(s.member) }],
      ),
    },
  };
}

export const followDay = (day: ScoutingDay, to: RowMap): ScoutingDay => ({
  ...day,
  stops: day.stops.flatMap((s) => (to(s.row) < 0 ? [] : [{ ...s, row: to(s.row) }])),
});
