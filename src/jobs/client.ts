/**
 * The page's side of one worker. A job is a promise of a Result; a worker that cannot load or that crashes fails its
 * jobs instead of leaving them open for ever. No time-out: a busy worker is not a dead one.
 */
import { fail, ok, type Result } from '../domain/base/result.ts';
import type { FromWorker, JobName, Jobs, ToWorker } from './protocol.ts';

export interface Running<J extends JobName> {
  readonly result: Promise<Result<Jobs[J]['output']>>;
  cancel(): void;
}

type Progress = (done: number, total: number, what: string) => void;

interface Open {
  settle(result: Result<unknown>): void;
  progress: Progress | undefined;
}

export class JobClient {
  #worker: Worker | null = null;
  #open = new Map<number, Open>();
  #next = 1;
  #make: () => Worker;

  /** @param make starts the worker; called at the first job, and again after a crash. */
  constructor(make: () => Worker) {
    this.#make = make;
  }

  /** Starts a job. Buffers named in `transfer` leave this thread. */
  run<J extends JobName>(
    job: J,
    input: Jobs[J]['input'],
    progress?: Progress,
    transfer: Transferable[] = [],
  ): Running<J> {
    const id = this.#next++;
    const worker = this.#started();
    const result = new Promise<Result<Jobs[J]['output']>>((resolve) => {
      this.#open.set(id, { settle: (r) => resolve(r as Result<Jobs[J]['output']>), progress });
    });
    worker.postMessage({ kind: 'run', id, job, input } satisfies ToWorker, transfer);
    return {
      result,
      cancel: () => {
        if (this.#open.has(id)) worker.postMessage({ kind: 'cancel', id } satisfies ToWorker);
      },
    };
  }

  /** Ends the worker at once; what it held is gone, running jobs end as cancelled. */
  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#settleAll(fail('cancelled', 'This work', 'was stopped', ''));
  }

  #started(): Worker {
    if (this.#worker) return this.#worker;
    const worker = this.#make();
    worker.addEventListener('message', (e: MessageEvent<FromWorker>) => this.#hear(e.data));
    worker.addEventListener('error', (e) => this.#crashed(e.message || 'it could not be loaded'));
    worker.addEventListener('messageerror', () => this.#crashed('an answer could not be read'));
    this.#worker = worker;
    return worker;
  }

  #crashed(message: string): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#settleAll(
      fail(
        'unreadable',
        'Background work',
        `stopped unexpectedly: ${message}`,
        'Reload the page; nothing saved is lost.',
      ),
    );
  }

  #settleAll(result: Result<unknown>): void {
    const open = [...this.#open.values()];
    this.#open.clear();
    for (const o of open) o.settle(result);
  }

  #hear(m: FromWorker): void {
    const open = this.#open.get(m.id);
    if (!open) return;
    if (m.kind === 'progress') {
      open.progress?.(m.done, m.total, m.what);
      return;
    }
    this.#open.delete(m.id);
    if (m.kind === 'done') open.settle(ok(m.output));
    else if (m.kind === 'failed') open.settle({ ok: false, failure: m.failure });
    else
      open.settle(
        fail(
          'unreadable',
          'Background work',
          `went wrong: ${m.message}`,
          'Save the workspace as a file and reload the page.',
        ),
      );
  }
}
