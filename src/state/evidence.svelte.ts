/** What the evidence on the candidate whose sheet is open was read from, for the map. */
import type { Failure } from '../domain/base/result.ts';
import { evidenceKey } from '../domain/plan/keys.ts';
import type { Plan } from '../domain/plan/schema.ts';
import type { EvidenceMark } from '../domain/vetting/origin/marks.ts';
import type { JobClient } from '../jobs/client.ts';

const NONE: readonly EvidenceMark[] = [];

export class EvidenceState {
  /** Of the newest answer; none while no sheet is open, or until the first answer for its candidate. */
  marks = $state.raw(NONE);
  failure = $state.raw<Failure | null>(null);
  /** Key of `marks`; '' without. */
  key = $state('');
  #jobs: JobClient;
  #asked = '';
  #candidate: string | null = null;
  #stop: () => void = () => undefined;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /**
   * Brings it up to date; resolves when `marks` or `failure` is that of these inputs, or others were asked for.
   * @param candidate id; null: no sheet is open. @param data changes whenever the content of a layer does.
   */
  async follow(plan: Plan, candidate: string | null, data: string): Promise<void> {
    if (candidate === null) return this.clear();
    const key = evidenceKey(plan, candidate, data);
    if (key === this.#asked) return;
    this.#stop();
    // What was drawn about another tree is wrong here; about this one it stands until the new answer.
    if (candidate !== this.#candidate) this.clear();
    this.#asked = key;
    this.#candidate = candidate;
    const running = this.#jobs.run('drawEvidence', { plan, candidate });
    this.#stop = () => running.cancel();
    const result = await running.result;
    if (this.#asked !== key) return;
    this.failure = result.ok ? null : result.failure;
    this.marks = result.ok ? result.value : NONE;
    this.key = result.ok ? key : '';
  }

  clear(): void {
    this.#stop();
    this.#asked = '';
    this.#candidate = null;
    if (this.key === '' && this.failure === null) return;
    this.marks = NONE;
    this.failure = null;
    this.key = '';
  }
}
