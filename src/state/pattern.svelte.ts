/** How the trees of its species stand about the candidate of the open sheet. */
import type { Failure } from '../domain/base/result.ts';
import type { PatternView } from '../domain/candidates/pattern/types.ts';
import { patternKey } from '../domain/plan/keys.ts';
import type { Plan } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';

export class PatternState {
  /** Of the newest answer; null while there is none, and where the candidate belongs to no group. */
  value = $state.raw<PatternView | null>(null);
  failure = $state.raw<Failure | null>(null);
  running = $state(false);
  /** Candidate that `value` or `failure` is about; '' while there is no answer. */
  candidate = $state('');
  #jobs: JobClient;
  #asked = '';
  /** Stops the answer that is no longer wanted. */
  #stop: () => void = () => undefined;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /**
   * Brings it up to date; resolves when the answer is that of these inputs, or newer ones were asked for.
   * @param data changes whenever the content of a layer does.
   */
  async refresh(plan: Plan, candidate: string, data: string): Promise<void> {
    const key = patternKey(plan, candidate, data);
    if (key === this.#asked) return;
    this.#stop();
    this.#asked = key;
    this.running = true;
    // What another tree's neighbours look like is not shown meanwhile; what this one's did is.
    if (this.candidate !== candidate) this.#answer('', null, null);
    const running = this.#jobs.run('pattern', { plan, candidate });
    this.#stop = () => running.cancel();
    const result = await running.result;
    if (this.#asked !== key) return;
    this.running = false;
    this.#answer(candidate, result.ok ? result.value : null, result.ok ? null : result.failure);
  }

  clear(): void {
    this.#stop();
    this.#stop = () => undefined;
    this.#asked = '';
    this.running = false;
    this.#answer('', null, null);
  }

  #answer(candidate: string, value: PatternView | null, failure: Failure | null): void {
    this.candidate = candidate;
    this.value = value;
    this.failure = failure;
  }
}
