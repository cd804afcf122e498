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
export function memoOf(desk: Desk): Memo {
  const { memo } = desk;
  return async <T>(key: string, make: () => Promise<Result<T>>): Promise<Result<T>> => {
    if (memo.has(key)) return ok(memo.get(key) as T);
    const made = await make();
    if (made.ok) memo.set(key, made.value);
    return made;
  };
}
