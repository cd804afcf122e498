/** The match surface as a file: long work of its own, beside what the screen is made of. */
import type { Result } from '../domain/base/result.ts';
import type { SurfaceAbout } from '../domain/plan/surfaceAbout.ts';
import type { SurfaceSpec } from '../domain/vetting/match/types.ts';
import type { JobClient } from '../jobs/client.ts';

export class SurfaceFile {
  /** Rows done; null when no file is being made. */
  progress = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  #jobs: JobClient;
  #stop: () => void = () => undefined;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /** A file that is being made is stopped: its answer is a Failure of code 'cancelled'. */
  async make(spec: SurfaceSpec, about: SurfaceAbout): Promise<Result<Blob>> {
    this.stop();
    const running = this.#jobs.run('surface', { spec, about }, (done, total) => {
      if (this.#stop === stop) this.progress = { done, total };
    });
    const stop = (): void => running.cancel();
    this.#stop = stop;
    this.progress = { done: 0, total: 0 };
    const result = await running.result;
    if (this.#stop === stop) this.progress = null;
    return result;
  }

  stop(): void {
    this.#stop();
    this.#stop = () => undefined;
    this.progress = null;
  }
}
