import { describe, expect, it } from 'vitest';
import type { ScoutingDay } from '../../src/domain/scouting/types.ts';
import { discNumbers } from '../../src/ui/marks.ts';

/** A day that visits the rows 7, 3 and 5 in this order; nothing else of it is looked at. */
const day = { stops: [{ row: 7 }, { row: 3 }, { row: 5 }] } as unknown as ScoutingDay;

describe('numbers of the mother trees', () => {
  it('are the order of the stops while the day is looked at, as on the day sheet', () => {
    expect([...discNumbers('scouting', [3, 5, 7], day)]).toEqual([
      [7, '1'],
      [3, '2'],
      [5, '3'],
    ]);
  });
  it('are the order of the set in every other stage, and while there is no day', () => {
    const set = [
      [3, '1'],
      [5, '2'],
      [7, '3'],
    ];
    expect([...discNumbers('parents', [3, 5, 7], day)]).toEqual(set);
    expect([...discNumbers('candidates', [3, 5, 7], day)]).toEqual(set);
    expect([...discNumbers('scouting', [3, 5, 7], null)]).toEqual(set);
  });
});
