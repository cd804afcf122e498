/** The table of zones that touch, asked for while it is on screen. */
import type { Failure } from '../domain/base/result.ts';
import type { LayerEntry } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';
import type { ZoneContacts } from '../jobs/protocol.ts';

export class Contacts {
  value = $state.raw<ZoneContacts | null>(null);
  failure = $state.raw<Failure | null>(null);
  #jobs: JobClient;
  #asked = 0;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /** @param snap metres within which lines count as one (the planting's rule). */
  async ask(layers: readonly LayerEntry[], snap: number): Promise<void> {
    const mine = ++this.#asked;
    const result = await this.#jobs.run('contacts', { layers, snap }).result;
    // Asked anew meanwhile: an older answer is dropped.
    if (mine !== this.#asked) return;
    this.value = result.ok ? result.value : null;
    this.failure = result.ok ? null : result.failure;
  }
}
