/** The worker's side: runs handlers of the protocol's table, one desk of opened layers a worker. */
import { Cancelled } from '../domain/base/work.ts';
import type { Work } from '../domain/base/work.ts';
import { createDesk } from './handlers/desk.ts';
import { handlers } from './handlers/handlers.ts';
import type { FromWorker, ToWorker } from './protocol.ts';
import type { Result } from '../domain/base/result.ts';

const desk = createDesk();
const cancelled = new Set<number>();

const send = (m: FromWorker, transfer: Transferable[] = []): void => {
  (self as unknown as { postMessage(m: FromWorker, t: Transferable[]): void }).postMessage(m, transfer);
};

/** A task boundary that lets waiting messages (a cancel) be heard; a resolved promise would not. */
const channel = new MessageChannel();
const waiting: Array<() => void> = [];
channel.port1.onmessage = () => waiting.shift()?.();
const breathe = (): Promise<void> =>
  new Promise((resolve) => {
    waiting.push(resolve);
    channel.port2.postMessage(null);
  });

self.addEventListener('message', (e: MessageEvent<ToWorker>) => {
  const m = e.data;
  if (m.kind === 'cancel') {
    cancelled.add(m.id);
    return;
  }
  void run(m.id, m.job, m.input);
});

async function run(id: number, job: keyof typeof handlers, input: unknown): Promise<void> {
  let told = 0;
  const work: Work = {
    progress(done, total, what) {
      // The screen redraws at most 20 times a second; more messages would only queue up.
      const now = performance.now();
      if (done < total && now - told < 50) return;
      told = now;
      send({ kind: 'progress', id, done, total, what });
    },
    async pause() {
      await breathe();
      if (cancelled.has(id)) throw new Cancelled();
    },
  };
  try {
    const handler = handlers[job] as unknown as (
      d: typeof desk,
      i: unknown,
      w: Work,
    ) => Promise<Result<unknown>>;
    const result = await handler(desk, input, work);
    if (result.ok) send({ kind: 'done', id, output: result.value }, transferables(result.value));
    else send({ kind: 'failed', id, failure: result.failure });
  } catch (error) {
    if (error instanceof Cancelled) {
      send({
        kind: 'failed',
        id,
        failure: { code: 'cancelled', where: 'This work', what: 'was stopped', todo: '' },
      });
    } else {
      console.error(error);
      send({ kind: 'crashed', id, message: error instanceof Error ? error.message : String(error) });
    }
  } finally {
    cancelled.delete(id);
  }
}

/** Only pictures and tiles are moved; columns are copied, since the worker goes on using its own. */
function transferables(value: unknown): Transferable[] {
  const picture = typeof ImageBitmap !== 'undefined' && value instanceof ImageBitmap;
  return picture || value instanceof ArrayBuffer ? [value] : [];
}
