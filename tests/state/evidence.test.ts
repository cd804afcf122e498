import { describe, expect, it } from 'vitest';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { fail, ok, type Result } from '../../src/domain/base/result.ts';
import type { EvidenceMark } from '../../src/domain/vetting/origin/marks.ts';
import type { JobClient } from '../../src/jobs/client.ts';
import { EvidenceState } from '../../src/state/evidence.svelte.ts';

type Answer = Result<readonly EvidenceMark[]>;
const mark = (label: string): EvidenceMark => ({
  kind: 'spot',
  pieces: ['inventory'],
  label,
  place: { lon: 0, lat: 0 },
});

/** Answers when told to, in any order. */
function client() {
  const asked: Array<{ candidate: string; answer(a: Answer): void; stopped: boolean }> = [];
  const run = (_job: string, { candidate }: { candidate: string }) => {
    let answer: (a: Answer) => void = () => undefined;
    const result = new Promise<Answer>((done) => (answer = done));
    const one = { candidate, answer, stopped: false };
    asked.push(one);
    return { result, cancel: () => (one.stopped = true) };
  };
  return { asked, jobs: { run } as unknown as JobClient };
}
const plan = freshPlan('t');

describe('the evidence that is drawn', () => {
  it('is that of the newest tree, whichever answer comes last', async () => {
    const { asked, jobs } = client();
    const state = new EvidenceState(jobs);
    const first = state.follow(plan, 'A', '1');
    const second = state.follow(plan, 'B', '1');
    expect(asked[0].stopped).toBe(true);
    asked[1].answer(ok([mark('B')]));
    await second;
    asked[0].answer(ok([mark('A')]));
    await first;
    expect(state.marks.map((m) => m.label)).toEqual(['B']);
  });

  it('is asked for again when a layer changes, and stands until the answer', async () => {
    const { asked, jobs } = client();
    const state = new EvidenceState(jobs);
    const first = state.follow(plan, 'A', '1');
    asked[0].answer(ok([mark('old')]));
    await first;
    await state.follow(plan, 'A', '1');
    expect(asked).toHaveLength(1);
    const next = state.follow(plan, 'A', '2');
    expect(state.marks.map((m) => m.label)).toEqual(['old']);
    asked[1].answer(ok([mark('new')]));
    await next;
    expect(state.marks.map((m) => m.label)).toEqual(['new']);
  });

  it('is not asked for again when only weights or statements change', async () => {
    const { asked, jobs } = client();
    const state = new EvidenceState(jobs);
    const statement = { candidate: 'A', origin: 'planted', reason: 'tag', by: '', date: '' } as const;
    void state.follow(plan, 'A', '1');
    await state.follow({ ...plan, statements: [statement] }, 'A', '1');
    expect(asked).toHaveLength(1);
  });

  it('goes with the sheet, and an answer that comes after is not drawn', async () => {
    const { asked, jobs } = client();
    const state = new EvidenceState(jobs);
    const late = state.follow(plan, 'A', '1');
    await state.follow(plan, null, '1');
    asked[0].answer(ok([mark('late')]));
    await late;
    expect([state.marks, state.key]).toEqual([[], '']);
  });

  it('says what went wrong, and draws nothing then', async () => {
    const { asked, jobs } = client();
    const state = new EvidenceState(jobs);
    const first = state.follow(plan, 'A', '1');
    asked[0].answer(fail('unreadable', 'Land cover', 'cannot be read', 'Add it again.'));
    await first;
    expect([state.failure?.what, state.marks]).toEqual(['cannot be read', []]);
    await state.follow(plan, null, '1');
    expect(state.failure).toBeNull();
  });
});
