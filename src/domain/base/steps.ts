import type { Work } from './work.ts';

/** Long work that stops now and then to say how far it is: a generator, so that a few rows can be read without waiting. */
export interface Step {
  readonly done: number;
  readonly total: number;
  /** In the user's words. */
  readonly what: string;
}
export type Steps<T> = Generator<Step, T, void>;

/** Runs the work with pauses, so that a cancel is heard, and reports each step. Rejects with Cancelled when stopped. */
export async function paced<T>(steps: Steps<T>, work: Work = {}): Promise<T> {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
    work.progress?.(next.value.done, next.value.total, next.value.what);
    await work.pause?.();
  }
}

/** Runs the work to its end at once: for small inputs only. */
export function atOnce<T>(steps: Steps<T>): T {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
  }
}
