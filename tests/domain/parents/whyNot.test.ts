import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chooseParents } from '../../../src/domain/parents/choose.ts';
import { whyNot } from '../../../src/domain/parents/whyNot.ts';
import { isClose, onMeridian, problem, randomProblem, totalOf, tryAll } from './oracle.ts';

describe('why a tree is not a member', () => {
  it('gives the best set that holds it, its cost and what it displaces, as exhaustive search does (200 random cases)', () => {
    const seen = new Map<string, number>();
    fc.assert(
      fc.property(randomProblem({ locks: 2, bans: 2 }), (p) => {
        const set = chooseParents(p);
        fc.pre(set.conflictingLocks.length === 0);
        for (let row = 0; row < p.lon.length; row++) {
          const why = whyNot(p, set, row);
          seen.set(why.kind, (seen.get(why.kind) ?? 0) + 1);
          expect(why.row).toBe(row);
          const kept = new Set(p.locks);
          if (set.members.includes(row)) {
            expect(why).toMatchObject({ kind: 'member', difference: 0, displaced: [], instead: [] });
            expect(why.total).toBe(set.total);
          } else if (p.bans.includes(row)) expect(why.kind).toBe('banned');
          else if (!(p.weight[row] > 0)) expect(why.kind).toBe('no weight');
          else if ([...kept].some((l) => isClose(p, l, row))) {
            expect(why.kind).toBe('lock');
            expect([...new Set(why.displaced)].sort()).toEqual(
              [...kept].filter((l) => isClose(p, l, row)).sort(),
            );
          } else if (kept.size >= p.count) expect(why.kind).toBe('none');
          else {
            const truth = tryAll({ ...p, locks: [...p.locks, row] });
            const size = set.members.length;
            if (truth.best[size] === -Infinity) {
              expect(why.kind).toBe('none');
              continue;
            }
            expect(why.kind).toBe('possible');
            expect(why.total).toBeCloseTo(truth.best[size], 9);
            expect(why.difference).toBeCloseTo(set.total - why.total, 9);
            expect(why.difference).toBeGreaterThan(-1e-9);
            // Members less the displaced, with those instead, are the set it speaks of.
            expect(why.instead).toContain(row);
            expect(why.instead.length).toBe(why.displaced.length);
            const now = [...set.members.filter((m) => !why.displaced.includes(m)), ...why.instead];
            expect(totalOf(p, now)).toBeCloseTo(why.total, 9);
            for (const a of now) for (const b of now) if (a < b) expect(isClose(p, a, b)).toBe(false);
          }
        }
      }),
      { numRuns: 200, seed: 20261125 },
    );
    for (const kind of ['member', 'banned', 'no weight', 'lock', 'none', 'possible'])
      expect(seen.get(kind) ?? 0, kind).toBeGreaterThan(10);
  });

  it('says what one tree costs: 5 + 4 with it instead of 6 + 4', () => {
    // At 0 m worth 6, at 300 m worth 5, at 1000 m worth 4.
    const p = problem(onMeridian([0, 300, 1000]), { count: 2, weight: Float64Array.of(6, 5, 4) });
    const set = chooseParents(p);
    expect(set).toMatchObject({ members: [0, 2], total: 10 });
    expect(whyNot(p, set, 1)).toMatchObject({
      kind: 'possible',
      total: 9,
      difference: 1,
      displaced: [0],
      instead: [1],
    });
  });

  it('says that a tree costs one member where it stands between two', () => {
    const p = problem(onMeridian([0, 300, 600]), { count: 2, weight: Float64Array.of(1, 9, 1) });
    const set = chooseParents(p);
    expect(set.members).toEqual([0, 2]);
    expect(whyNot(p, set, 1).kind).toBe('none');
  });
});
