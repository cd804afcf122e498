import { describe, expect, it } from 'vitest';
import { fail, ok } from '../../src/domain/base/result.ts';
import { Cancelled } from '../../src/domain/base/work.ts';
import { memoIn } from '../../src/jobs/handlers/memo.ts';

/** A promise with its ends at hand. */
function open<T>() {
  let settle: (value: T) => void = () => undefined;
  let refuse: (error: Error) => void = () => undefined;
  const promise = new Promise<T>((resolve, reject) => {
    settle = resolve;
    refuse = reject;
  });
  return { promise, settle, refuse };
}

describe('what is dear to compute', () => {
  it('is made once, also where two jobs ask at the same time', async () => {
    const held = new Map<string, unknown>();
    let made = 0;
    const work = open<null>();
    const make = async () => {
      made++;
      await work.promise;
      return ok(made);
    };
    // Each job has a face of its own to one memory.
    const both = [memoIn(held)('a', make), memoIn(held)('a', make)];
    work.settle(null);
    expect(await Promise.all(both)).toEqual([ok(1), ok(1)]);
    expect(await memoIn(held)('a', make)).toEqual(ok(1));
    expect(made).toBe(1);
  });

  it('is made by the one who waited where the other was stopped or failed', async () => {
    for (const end of ['stopped', 'failed'] as const) {
      const memo = memoIn(new Map());
      const work = open<null>();
      const first = memo('a', async () => {
        await work.promise;
        return fail('content', 'a', 'cannot be had', '');
      });
      const second = memo('a', () => Promise.resolve(ok(2)));
      if (end === 'stopped') work.refuse(new Cancelled());
      else work.settle(null);
      if (end === 'stopped') await expect(first).rejects.toThrow(Cancelled);
      else expect((await first).ok).toBe(false);
      expect(await second).toEqual(ok(2));
    }
  });

  it('is another thing under another name and in another memory', async () => {
    const memo = memoIn(new Map());
    expect(await memo('a', () => Promise.resolve(ok(1)))).toEqual(ok(1));
    expect(await memo('b', () => Promise.resolve(ok(2)))).toEqual(ok(2));
    expect(await memoIn(new Map())('a', () => Promise.resolve(ok(3)))).toEqual(ok(3));
  });
});
