import { ok, type Result } from '../../domain/base/result.ts';
import type { Desk } from './desk.ts';

/** Keeps what is dear to compute and does not change with the question. */
export type Memo = <T>(key: string, make: () => Promise<Result<T>>) => Promise<Result<T>>;

export const noMemo: Memo = (_key, make) => make();

/** Of things of one name only the newest is kept: one that is dragged about would leave many behind. */
export async function newest<T>(
  memo: Memo,
  name: string,
  key: string,
  make: () => Promise<Result<T>>,
): Promise<Result<T>> {
  const last = await memo(name, () => Promise.resolve(ok<{ held?: { key: string; value: T } }>({})));
  if (!last.ok) return last;
  const { held } = last.value;
  if (held?.key === key) return ok(held.value);
  const made = await make();
  if (made.ok) last.value.held = { key, value: made.value };
  return made;
}

/**
 * What is computed from the open layers is kept until one of them changes. What a job still makes of layers that were closed
 * or opened anew meanwhile goes into the memory that is no longer used.
 */
export const memoOf = (desk: Desk): Memo => memoIn(desk.memo);

/** What is being made for a memory: two jobs at once make a thing once. */
const coming = new WeakMap<Map<string, unknown>, Map<string, Promise<unknown>>>();

/** Keeps things in a map. */
export function memoIn(held: Map<string, unknown>): Memo {
  const making = coming.get(held) ?? new Map<string, Promise<unknown>>();
  coming.set(held, making);
  return async <T>(key: string, make: () => Promise<Result<T>>): Promise<Result<T>> => {
    for (;;) {
      if (held.has(key)) return ok(held.get(key) as T);
      const other = making.get(key);
      if (!other) break;
      // Who makes it may fail or be stopped, and hears of it: then it is made here.
      await other.catch(() => undefined);
    }
    const work = make();
    making.set(key, work);
    try {
      const made = await work;
      if (made.ok) held.set(key, made.value);
      return made;
    } finally {
      making.delete(key);
    }
  };
}
