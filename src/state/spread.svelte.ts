/** The spread of the present planting's variables: what counts as an ordinary difference, and how well that is founded. */
import type { Failure } from '../domain/base/result.ts';
import { spreadKey } from '../domain/plan/keys.ts';
import type { Plan, Planting } from '../domain/plan/schema.ts';
import type { SpreadView } from '../domain/vetting/match/types.ts';
import type { JobClient } from '../jobs/client.ts';

export class SpreadState {
  /** Of the newest answer; null while there is none, or where the variables cannot be compared (`failure` says why). */
  value = $state.raw<SpreadView | null>(null);
  failure = $state.raw<Failure | null>(null);
  running = $state(false);
  /** Key of `value`. */
  key = '';
  #jobs: JobClient;
  #asked = '';
  /** Stops the answer that is no longer wanted. */
  #stop: () => void = () => undefined;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /**
   * Brings it up to date; resolves when `value` or `failure` is that of these inputs, or newer ones were asked for.
   * @param data changes whenever the content of a layer does.
   */
  async refresh(plan: Plan, planting: Planting, data: string): Promise<void> {
    const key = spreadKey(plan, planting, data, this.value?.spread.basis === 'circle');
    if (key === this.#asked) return;
    this.#asked = key;
    this.#stop();
    this.running = true;
    const running = this.#jobs.run('spread', { plan, plantingId: planting.id });
    this.#stop = () => running.cancel();
    const result = await running.result;
    if (this.#asked !== key) return;
    this.running = false;
    this.value = result.ok ? result.value : null;
    this.failure = result.ok ? null : result.failure;
    // Taken from the circle, it hangs on the sites from now on.
    this.key = this.#asked = spreadKey(plan, planting, data, this.value?.spread.basis === 'circle');
  }

  clear(): void {
    this.#stop();
    this.#asked = this.key = '';
    this.running = false;
    this.value = null;
    this.failure = null;
  }
}
