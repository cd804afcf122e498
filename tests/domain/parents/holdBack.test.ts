import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawInteger, rng } from '../../../src/domain/base/rng.ts';
import { holdBack, nextSpacing } from '../../../src/domain/parents/holdBack.ts';
import type { Relaxation } from '../../../src/domain/parents/types.ts';
import { onMeridian, problem, randomProblem, tryAll } from './oracle.ts';

const relaxation = (rule: string, rows: number[], weights = rows.map(() => 1)): Relaxation => ({
  rule,
  title: rule,
  change: `without ${rule}`,
  rows,
  weights,
});

describe('what holds the number back', () => {
  it('counts what each rule alone, and a closer spacing, would give, as exhaustive search does (200 random cases)', () => {
    fc.assert(
      fc.property(randomProblem({ locks: 0, bans: 2 }), fc.integer({ min: 1, max: 1e9 }), (p, seed) => {
        const random = rng(seed);
        const out = p.lon.length;
        const closed = Array.from({ length: out }, (_, r) => r).filter((r) => !(p.weight[r] > 0));
        const rules = ['slope', 'match', 'origin'].map((rule) =>
          relaxation(
            rule,
            closed.filter(() => drawInteger(random, 2) === 0),
          ),
        );
        const found = holdBack(p, rules);
        expect(found.map((f) => f.rule).sort()).toEqual(
          [...rules.filter((r) => r.rows.length > 0).map((r) => r.rule), 'spacing'].sort(),
        );
        for (const { rule, largest, candidates } of found) {
          const weight = Float64Array.from(p.weight);
          const rows = rules.find((r) => r.rule === rule)?.rows ?? [];
          for (const r of rows) weight[r] = 1;
          const open = { ...p, weight, spacing: rule === 'spacing' ? 400 : p.spacing };
          expect(largest).toBe(Math.min(p.count, tryAll(open).largest));
          expect(candidates).toBe(rows.length);
        }
        for (let i = 1; i < found.length; i++)
          expect(found[i].largest).toBeLessThanOrEqual(found[i - 1].largest);
      }),
      { numRuns: 200, seed: 20261125 },
    );
  });

  it('puts the rule that gives most first, and the spacing where it gives more than any', () => {
    // Eligible: 0 and 401 m (one of them). Slope holds back one tree far off, origin two beside the first.
    const p = problem(onMeridian([0, 401, 9000, 10, 20]), {
      count: 4,
      weight: Float64Array.of(1, 1, NaN, NaN, NaN),
    });
    expect(holdBack(p, [relaxation('origin', [3, 4]), relaxation('slope', [2])])).toEqual([
      { rule: 'slope', title: 'slope', change: 'without slope', candidates: 1, largest: 2 },
      {
        rule: 'spacing',
        title: 'Spacing',
        change: '400 m apart instead of 402 m',
        candidates: 0,
        largest: 2,
      },
      { rule: 'origin', title: 'origin', change: 'without origin', candidates: 2, largest: 1 },
    ]);
    expect(p.weight[2]).toBeNaN();
  });

  it('loosens the spacing to the next whole 50 m below', () => {
    expect([402.336, 400, 401, 50, 49, 0].map(nextSpacing)).toEqual([400, 350, 400, 0, 0, 0]);
  });
});
