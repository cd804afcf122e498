import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseParents } from '../../../src/domain/parents/choose.ts';
import { reserves } from '../../../src/domain/parents/reserves.ts';
import { isClose, onMeridian, problem, randomProblem } from './oracle.ts';

describe('reserves', () => {
  it('are spaced from every member and one another, heaviest first, and none that fits is missed (200 random cases)', () => {
    let some = 0;
    fc.assert(
      fc.property(randomProblem({ locks: 1, bans: 3 }), fc.integer({ min: 0, max: 4 }), (p, most) => {
        const chosen = chooseParents(p).members;
        // Also of sets that are not full, so that there is room.
        const members = chosen.slice(0, Math.ceil(chosen.length / 2));
        const found = reserves(p, members, most).reserves;
        some += found.length;
        expect(found.length).toBeLessThanOrEqual(most);
        const all = [...members, ...found];
        expect(new Set(all).size).toBe(all.length);
        for (const r of found) {
          expect(p.weight[r]).toBeGreaterThan(0);
          expect(p.bans).not.toContain(r);
          for (const s of all) if (s !== r) expect(isClose(p, r, s)).toBe(false);
        }
        for (let i = 1; i < found.length; i++)
          expect(p.weight[found[i]]).toBeLessThanOrEqual(p.weight[found[i - 1]]);
        if (found.length === most) return;
        for (let r = 0; r < p.lon.length; r++) {
          if (!(p.weight[r] > 0) || p.bans.includes(r) || all.includes(r)) continue;
          expect(all.some((s) => isClose(p, r, s))).toBe(true);
        }
      }),
      { numRuns: 200, seed: 20261125 },
    );
    expect(some).toBeGreaterThan(100);
  });

  it('come with the heaviest tree that can take the place of one member, where there are too few of them', () => {
    // Members at 0 and 1000 m. At 100 and 200 m: either could replace the first. At 700 m: close to the second only.
    // At 5000 m: left out by the user.
    const p = problem(onMeridian([0, 100, 200, 700, 1000, 5000]), {
      count: 2,
      weight: Float64Array.of(9, 2, 3, 1, 8, 7),
      bans: [5],
    });
    expect(chooseParents(p).members).toEqual([0, 4]);
    expect(reserves(p, [0, 4])).toEqual({
      reserves: [],
      standIns: [
        { row: 2, member: 0 },
        { row: 3, member: 4 },
      ],
    });
    // A reserve for each member: no stand-ins are needed.
    expect(reserves({ ...p, bans: [] }, [0])).toMatchObject({ reserves: [4, 5], standIns: [] });
  });

  it('do not count a tree near two members as a stand-in for one', () => {
    const p = problem(onMeridian([0, 300, 600]), { count: 2, weight: Float64Array.of(5, 1, 4) });
    expect(reserves(p, [0, 2])).toEqual({ reserves: [], standIns: [] });
  });
});
