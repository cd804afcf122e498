/** What the page of weights asks for: tables compared, weights fitted anew. */
import { describe, expect, it } from 'vitest';
import { fail, ok } from '../../src/domain/base/result.ts';
import type { OriginWeights } from '../../src/domain/plan/schema.ts';
import { refit } from '../../src/domain/vetting/origin/refit.ts';
import { ORIGIN_VERDICTS } from '../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../src/domain/vetting/origin/weights.ts';
import type { Jobs } from '../../src/jobs/protocol.ts';
import { compared, WeightsState } from '../../src/state/weights.svelte.ts';
import { make } from '../domain/candidates/make.ts';
import { originOf } from '../domain/vetting/make.ts';
import { fakeJobs } from './fakeWorker.ts';

/** Trees at growing distances from buildings, the near ones on developed land. */
const N = 60;
const rows = Array.from({ length: N }, (_, i) => i);
const candidates = make(rows.map((i) => ({ id: `t${i}` })));
const measured = {
  building: rows.map((i) => i * 8),
  developed100: rows.map((i) => (i < N / 2 ? 0.9 : 0.01)),
};
const origin = originOf(candidates, measured);
const stern: OriginWeights = { ...builtInWeights, version: 'stern', prior: 1e-6 };
const outcomes = rows.filter((i) => i % 2 === 1).map((row) => ({ row, natural: row > 35 }));
const after = (milliseconds = 0): Promise<void> => new Promise((go) => setTimeout(go, milliseconds));

describe('two tables', () => {
  it('are compared over the rows asked for, each weighed by the table in use, not by what is on screen', () => {
    const own = [3, 50];
    const onScreen = originOf(candidates, measured, stern);
    const { before, value } = compared(onScreen, own, builtInWeights, stern);
    expect([...before.verdict]).toEqual(own.map((row) => origin.verdict[row]));
    expect([...value.verdict]).toEqual(own.map((row) => onScreen.verdict[row]));
    expect([...value.changed]).toEqual([1]);
    expect(ORIGIN_VERDICTS[before.verdict[1]]).toBe('likely natural');
    expect([value.from, value.to]).toEqual([builtInWeights.version, 'stern']);
    expect(value.moves.reduce((a, b) => a + b, 0)).toBe(2);
  });

  it('of the newest question alone are answered, and none that is no longer asked', async () => {
    const state = new WeightsState(fakeJobs({}));
    const first = state.compare(origin, [0], builtInWeights, stern);
    const second = state.compare(origin, [0, 1], builtInWeights, stern);
    expect(state.comparing).toBe(true);
    await Promise.all([first, second]);
    expect([state.comparing, state.compared?.rows]).toEqual([false, [0, 1]]);
    const third = state.compare(origin, [0], builtInWeights, stern);
    state.leave();
    await third;
    expect([state.comparing, state.compared, state.other]).toEqual([false, null, null]);
  });
});

describe('weights fitted anew', () => {
  it('are asked for with the outcomes alone, and are those of all candidates', async () => {
    const asked: Array<Jobs['refit']['input']> = [];
    const state = new WeightsState(
      fakeJobs({
        refit: (input) => {
          asked.push(input);
          return ok(refit(input.columns, input.table, input.outcomes, input.version));
        },
      }),
    );
    const done = state.refit(origin, builtInWeights, outcomes, 'new', rows);
    expect(state.fit?.answer).toBe(null);
    await done;
    expect(asked[0].columns.verdict.length).toBe(outcomes.length);
    expect(state.fit?.answer).toEqual(refit(origin, builtInWeights, outcomes, 'new'));
    const { answer, moves } = state.fit ?? {};
    expect(answer?.kind).toBe('fitted');
    // What it would change is worked out with it.
    if (answer?.kind === 'fitted')
      expect(moves).toEqual(compared(origin, rows, builtInWeights, answer.table));
    state.clear();
    expect(state.fit).toBe(null);
  });

  it('that were put away do not come back, and trouble is kept for the screen', async () => {
    let go: () => void = () => undefined;
    const state = new WeightsState(
      fakeJobs({
        refit: async () => {
          await new Promise<void>((free) => (go = free));
          return fail('content', 'x', 'went wrong', 'Try again.');
        },
      }),
    );
    const done = state.refit(origin, builtInWeights, outcomes, 'new', rows);
    await after();
    state.putAway();
    go();
    await done;
    expect([state.fit, state.failure]).toEqual([null, null]);
    const again = state.refit(origin, builtInWeights, outcomes, 'new', rows);
    await after();
    go();
    await again;
    expect([state.fit, state.failure?.what]).toEqual([null, 'went wrong']);
  });
});
