/** A file that sites are taken from: what it holds, and which of it is chosen. Changes nothing until it is taken over. */
import type { Box, Place } from '../domain/base/geo.ts';
import type { Failure } from '../domain/base/result.ts';
import { siteOf } from '../domain/plan/changeSites.ts';
import { together } from '../domain/plan/beside.ts';
import type { Site } from '../domain/plan/schema.ts';
import type { JobClient, Running } from '../jobs/client.ts';
import type { Bytes, Reading, SiteOutlines, SystemGuess } from '../jobs/protocol.ts';

interface Parts {
  readonly jobs: JobClient;
  readonly near: () => Place | null;
  readonly box: () => Box | null;
  readonly say: (text: string) => void;
}

export class SiteFileState {
  /** '' no file is open. */
  name = $state('');
  reading = $state.raw<Reading>({});
  found = $state.raw<SiteOutlines | null>(null);
  failure = $state.raw<Failure | null>(null);
  /** How far reading has come; null when it is over. */
  working = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  /** Systems that would fit a file that does not say its own; null: not asked for, or being worked out. */
  guesses = $state.raw<readonly SystemGuess[] | null>(null);
  /** Outlines that are chosen, by their place in `found`. */
  chosen = $state.raw<ReadonlySet<number>>(new Set());
  /** Index of the field that names them; -1: named after the file. */
  named = $state(-1);
  #bytes: Bytes | null = null;
  #running: Running<'siteOutlines'> | null = null;
  #parts: Parts;

  constructor(parts: Parts) {
    this.#parts = parts;
  }

  /** One file, with those that stand beside it (a shapefile's parts). */
  async bring(files: readonly File[]): Promise<void> {
    const { groups, loose } = together(files);
    const main = groups.at(0)?.main ?? loose.at(0);
    if (!main) return;
    if (groups.length > 1)
      this.#parts.say(`One file at a time: ${main.name} is read, ${groups.length - 1} more are not.`);
    this.putAway();
    this.name = main.name;
    const beside = groups.at(0)?.beside ?? [];
    this.#bytes = {
      kind: 'blob',
      name: main.name,
      blob: main,
      beside: beside.map((blob) => ({ name: blob.name, blob })),
    };
    await this.#read();
  }

  /** Reads it with another system, another part of it, or mended. */
  async change(part: Partial<Reading>): Promise<void> {
    this.reading = { ...this.reading, ...part };
    await this.#read();
  }

  choose(index: number, on: boolean): void {
    const chosen = new Set(this.chosen);
    if (on) chosen.add(index);
    else chosen.delete(index);
    this.chosen = chosen;
  }

  nameOf(index: number): string {
    const text = this.found?.outlines[index].texts[this.named] ?? '';
    if (text !== '') return text;
    const stem = this.name.replace(/\.[^.]+$/, '');
    return this.found?.outlines.length === 1 ? stem : `${stem} ${index + 1}`;
  }

  /** The chosen ones as sites, in the order in which they are listed. */
  get sites(): Site[] {
    const outlines = this.found?.outlines ?? [];
    return [...this.chosen]
      .sort((a, b) => a - b)
      .flatMap((i) => {
        const { area, place } = outlines[i];
        return siteOf({ name: this.nameOf(i), place, area }) ?? [];
      });
  }

  putAway(): void {
    this.#running?.cancel();
    this.#running = null;
    this.#bytes = null;
    this.name = '';
    this.reading = {};
    this.working = null;
    this.#forget();
  }

  #forget(): void {
    this.found = null;
    this.failure = null;
    this.guesses = null;
    this.chosen = new Set();
    this.named = -1;
  }

  async #read(): Promise<void> {
    const bytes = this.#bytes;
    if (!bytes) return;
    this.#running?.cancel();
    this.working = { done: 0, total: 0 };
    const input = { bytes, reading: this.reading, near: this.#parts.near() };
    const running = this.#parts.jobs.run('siteOutlines', input, (done, total) => {
      if (this.#running === running) this.working = { done, total };
    });
    this.#running = running;
    const result = await running.result;
    // Another file, or the same read otherwise.
    if (this.#running !== running) return;
    this.#running = null;
    this.working = null;
    this.#forget();
    if (result.ok) {
      this.found = result.value;
      this.named = result.value.named;
      // One is what was meant; of several the user says which.
      if (result.value.outlines.length === 1) this.chosen = new Set([0]);
      return;
    }
    this.failure = result.failure;
    const { coordinates } = result.failure;
    if (!coordinates) return;
    const guesses = await this.#parts.jobs.run('systems', { coordinates, near: this.#parts.box() }).result;
    if (this.failure === result.failure) this.guesses = guesses.ok ? guesses.value : [];
  }
}
