/** What came of opening a file, for tests: its content, or its sentence. */
import { sentence, type Result } from '../../../src/domain/base/result.ts';
import type { Opened } from '../../../src/io/read/types.ts';

/** Two helpers over one way of opening: `read` gives what was opened or fails the test, `said` the sentence of a refusal. */
export function over<A extends unknown[]>(
  open: (...args: A) => Promise<Result<Opened>>,
): { read(this: void, ...args: A): Promise<Opened>; said(this: void, ...args: A): Promise<string> } {
  return {
    async read(...args) {
      const opened = await open(...args);
      if (!opened.ok) throw new Error(sentence(opened.failure));
      return opened.value;
    },
    async said(...args) {
      const opened = await open(...args);
      return opened.ok ? 'read' : sentence(opened.failure);
    },
  };
}
