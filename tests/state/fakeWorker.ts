/** A worker of a few lines for tests of the state: each job is answered by a function, at once or when the test says so. */
import { JobClient } from '../../src/jobs/client.ts';
import type { FromWorker, JobName, Jobs, ToWorker } from '../../src/jobs/protocol.ts';
import type { Result } from '../../src/domain/base/result.ts';

export type Answers = {
  [J in JobName]?: (
    input: Jobs[J]['input'],
    stopped: Promise<void>,
  ) => Result<Jobs[J]['output']> | Promise<Result<Jobs[J]['output']>>;
};

class FakeWorker extends EventTarget {
  readonly #answers: Answers;
  readonly #stops = new Map<number, () => void>();
  constructor(answers: Answers) {
    super();
    this.#answers = answers;
  }
  postMessage(m: ToWorker): void {
    if (m.kind === 'cancel') this.#stops.get(m.id)?.();
    else void this.#run(m);
  }
  terminate(): void {
    this.#stops.clear();
  }
  async #run({ id, job, input }: Extract<ToWorker, { kind: 'run' }>): Promise<void> {
    const stopped = new Promise<void>((resolve) => this.#stops.set(id, resolve));
    const answer = this.#answers[job] as
      ((i: unknown, s: Promise<void>) => Promise<Result<unknown>>) | undefined;
    if (!answer) throw new Error(`no answer for the job ${job}`);
    const result = await answer(input, stopped);
    const data: FromWorker = result.ok
      ? { kind: 'done', id, output: result.value }
      : { kind: 'failed', id, failure: result.failure };
    this.dispatchEvent(new MessageEvent('message', { data }));
  }
}

export const fakeJobs = (answers: Answers): JobClient =>
  new JobClient(() => new FakeWorker(answers) as unknown as Worker);
