/** Columns of a table while they are chosen: first rows as understood at once, the whole table a little later. */
import type { Failure } from '../domain/base/result.ts';
import type { Preview } from '../domain/candidates/table/mapping.ts';
import type { JobClient, Running } from '../jobs/client.ts';
import type { Bytes, Reading, Sample, TableChoices, TableSurvey } from '../jobs/protocol.ts';

/** A moment without another choice before the whole table is read. */
const WAIT_MS = 350;

export class ColumnsTrial {
  preview = $state.raw<Preview | null>(null);
  survey = $state.raw<TableSurvey | null>(null);
  failure = $state.raw<Failure | null>(null);
  /** Rows read so far; null when that is over. */
  working = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  #jobs: JobClient;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #running: Running<'survey'> | null = null;
  #asked = 0;

  constructor(jobs: JobClient) {
    this.#jobs = jobs;
  }

  /** Answers of an older choice are dropped. */
  async ask(
    table: { file: string; sample: Sample; bytes: Bytes; reading: Reading },
    entry: TableChoices,
  ): Promise<void> {
    const mine = ++this.#asked;
    this.stop();
    this.#timer = setTimeout(() => void this.#read(mine, table, entry), WAIT_MS);
    const { file, sample } = table;
    const result = await this.#jobs.run('preview', { sample, file, entry }).result;
    if (mine === this.#asked && result.ok) this.preview = result.value;
  }

  stop(): void {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    this.#running?.cancel();
    this.#running = null;
    this.working = null;
  }

  async #read(
    mine: number,
    { bytes, reading }: { bytes: Bytes; reading: Reading },
    entry: TableChoices,
  ): Promise<void> {
    this.working = { done: 0, total: 0 };
    const running = this.#jobs.run('survey', { bytes, reading, entry }, (done, total) => {
      if (mine === this.#asked) this.working = { done, total };
    });
    this.#running = running;
    const result = await running.result;
    if (mine !== this.#asked) return;
    this.working = null;
    this.survey = result.ok ? result.value : null;
    this.failure = result.ok ? null : result.failure;
  }
}
