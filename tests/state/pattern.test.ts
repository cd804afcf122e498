/** How its trees stand, for the open sheet: asked once for the same inputs, stale answers dropped, trouble said. */
import { describe, expect, it } from 'vitest';
import { fail, ok, type Result } from '../../src/domain/base/result.ts';
import type { PatternView } from '../../src/domain/candidates/pattern/types.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { patternKey } from '../../src/domain/plan/keys.ts';
import { PatternState } from '../../src/state/pattern.svelte.ts';
import { block } from '../ui/patternView.ts';
import { fakeJobs } from './fakeWorker.ts';

const plan = freshPlan('p');
type Answer = Result<PatternView | null>;

/** A worker that answers when the test says so. */
function held() {
  const asked: string[] = [];
  const answers: Array<(a: Answer) => void> = [];
  const state = new PatternState(
    fakeJobs({
      pattern: ({ candidate }) => {
        asked.push(candidate);
        return new Promise<Answer>((resolve) => answers.push(resolve));
      },
    }),
  );
  return { state, asked, answers };
}

describe('the pattern of the open sheet', () => {
  it('is asked for once, and again when the plan or the data change', async () => {
    const asked: string[] = [];
    const state = new PatternState(
      fakeJobs({
        pattern: ({ candidate }) => {
          asked.push(candidate);
          return ok(block(3, 3, 5));
        },
      }),
    );
    await state.refresh(plan, 'A', '1');
    await state.refresh(plan, 'A', '1');
    await state.refresh({ ...plan, title: 'another title' }, 'A', '1');
    expect([asked.length, state.candidate, state.value?.n, state.running]).toEqual([1, 'A', 9, false]);
    await state.refresh({ ...plan, evidence: { ...plan.evidence, link: 90 } }, 'A', '1');
    await state.refresh(plan, 'A', '2');
    await state.refresh(plan, 'B', '2');
    expect(asked).toEqual(['A', 'A', 'A', 'B']);
  });

  it('drops an answer that comes after another tree was asked for', async () => {
    const { state, answers } = held();
    const first = state.refresh(plan, 'A', '1');
    const second = state.refresh(plan, 'B', '1');
    await expect.poll(() => answers.length).toBe(2);
    answers[1](ok(block(4, 4, 5)));
    await second;
    answers[0](ok(block(2, 2, 5)));
    await first;
    expect([state.candidate, state.value?.n]).toEqual(['B', 16]);
  });

  it('shows nothing of one tree while another is measured, but keeps what this one had', async () => {
    const { state, answers } = held();
    const first = state.refresh(plan, 'A', '1');
    await expect.poll(() => answers.length).toBe(1);
    answers[0](ok(block(3, 3, 5)));
    await first;
    void state.refresh(plan, 'A', '2');
    expect([state.candidate, state.value?.n, state.running]).toEqual(['A', 9, true]);
    void state.refresh(plan, 'B', '2');
    expect([state.candidate, state.value, state.running]).toEqual(['', null, true]);
  });

  it('says trouble, and no group is an answer too', async () => {
    let answer: Answer = fail('content', 'Candidates', 'could not be read', 'Bring the file again.');
    const state = new PatternState(fakeJobs({ pattern: () => answer }));
    await state.refresh(plan, 'A', '1');
    expect([state.candidate, state.value, state.failure?.where]).toEqual(['A', null, 'Candidates']);
    answer = ok(null);
    await state.refresh(plan, 'A', '2');
    expect([state.candidate, state.value, state.failure]).toEqual(['A', null, null]);
    state.clear();
    expect([state.candidate, state.running]).toEqual(['', false]);
  });

  it('hangs on layers and edits of candidates, not on rules or weights', () => {
    const key = (p: typeof plan): string => patternKey(p, 'A', '1');
    const removed = { ...plan.candidates, removed: ['B'] };
    expect(key({ ...plan, candidates: removed })).not.toBe(key(plan));
    expect(key({ ...plan, statements: [] })).toBe(key(plan));
    expect(key({ ...plan, evidence: { ...plan.evidence, ageError: 0.2 } })).toBe(key(plan));
  });
});
