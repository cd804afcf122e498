import { describe, expect, it } from 'vitest';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { patternAt } from '../../src/jobs/handlers/patternAt.ts';
import { make } from '../domain/candidates/make.ts';

describe('the job that tells how the trees about a candidate stand', () => {
  const plan = freshPlan('test');
  const desk = createDesk();
  const candidates = make(
    Array.from({ length: 9 }, (_, i) => ({ id: `row${i}`, lon: -84 + i * 1.5e-4, lat: 38 })),
  );
  // As the open layers would give them.
  desk.memo.set('candidates', { candidates, notes: [] });

  it('finds the group of a candidate with the settings of the plan', async () => {
    const found = await patternAt(desk, { plan, candidate: 'row3' }, {});
    if (!found.ok) throw new Error(found.failure.what);
    expect([found.value?.trees.length, found.value?.verdict, found.value?.link]).toEqual([9, 'regular', 60]);
    // Linked by 10 m only, each of the trees 13 m apart stands by itself.
    const near = { ...plan, evidence: { ...plan.evidence, link: 10 } };
    expect(await patternAt(desk, { plan: near, candidate: 'row3' }, {})).toEqual({ ok: true, value: null });
  });

  it('says which candidate it does not know', async () => {
    const found = await patternAt(desk, { plan, candidate: 'nobody' }, {});
    expect(found.ok ? null : found.failure).toMatchObject({
      where: 'nobody',
      what: 'is not among the candidates',
    });
  });
});
