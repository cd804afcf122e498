/** The match surface summed up by zone, for the screen that ranks zones. */
import type { Place } from '../domain/base/geo.ts';
import type { Failure } from '../domain/base/result.ts';
import type { SurfaceSpec, ZoneMatch } from '../domain/vetting/match/types.ts';
import type { JobClient } from '../jobs/client.ts';

export interface ZoneShades {
  /** The zones layer. */
  readonly layer: string;
  /** Share of the area over the threshold by index into the zones layer, -1 not known. */
  readonly shares: readonly number[];
  readonly labels: ReadonlyArray<Place & { readonly text: string }>;
}

export class Ranking {
  /** Of the spec with the key `key`; stays on screen, marked, while a newer one is made. */
  value = $state.raw<ZoneMatch | null>(null);
  key = $state('');
  failure = $state.raw<Failure | null>(null);
  /** How far it is; null when nothing is being made. */
  progress = $state.raw<{ readonly done: number; readonly total: number; readonly what: string } | null>(
    null,
  );
  /** Stopped by the user: nothing is made until asked for, or until the inputs change. */
  stopped = $state(false);
  /** How the zones are shaded on the map while the ranking is on screen. */
  shades = $state.raw<ZoneShades | null>(null);
  #jobs: JobClient;
  #asked = '';
  #cancel: () => void = () => undefined;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /** Brings it up to date; an answer to an older spec is dropped. */
  async refresh(spec: SurfaceSpec, sites: readonly Place[]): Promise<void> {
    if (spec.key === this.#asked) return;
    this.#cancel();
    this.#asked = spec.key;
    this.stopped = false;
    this.failure = null;
    this.progress = { done: 0, total: 0, what: '' };
    const running = this.#jobs.run('rankZones', { spec, sites }, (done, total, what) => {
      if (this.#asked === spec.key && !this.stopped) this.progress = { done, total, what };
    });
    this.#cancel = () => running.cancel();
    const result = await running.result;
    if (this.#asked !== spec.key || this.stopped) return;
    this.progress = null;
    if (result.ok) {
      this.value = result.value;
      this.key = spec.key;
    } else {
      this.value = null;
      this.failure = result.failure;
    }
  }

  /** Stops what is running; what is on screen stays, marked out of date. */
  stop(): void {
    if (!this.progress) return;
    this.stopped = true;
    this.progress = null;
    this.#cancel();
  }

  /** Makes it after it was stopped or failed. */
  retry(spec: SurfaceSpec, sites: readonly Place[]): Promise<void> {
    this.#asked = '';
    return this.refresh(spec, sites);
  }

  clear(): void {
    this.#cancel();
    this.#asked = this.key = '';
    this.value = null;
    this.failure = null;
    this.progress = null;
    this.stopped = false;
  }
}
