/** Files that the user brought and that are not layers yet: what each holds, and what it shall become. Changes nothing until accepted. */
import type { Failure } from '../domain/base/result.ts';
import type { LayerEntry } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';
import type { Bytes, Inspection } from '../jobs/protocol.ts';

export interface IntakeItem {
  readonly id: number;
  readonly bytes: Bytes;
  readonly inspection: Inspection | null;
  readonly failure: Failure | null;
  /** The layer as it would be added; the user edits it. */
  readonly entry: Pick<LayerEntry, 'definition' | 'band' | 'period' | 'source' | 'date'> & {
    title: string;
    key?: string;
    name?: string;
  };
}

export class Intake {
  items = $state.raw<readonly IntakeItem[]>([]);
  #jobs: JobClient;
  #titleOf: (definition: string) => string;
  #next = 1;

  constructor(jobs: JobClient, titleOf: (definition: string) => string) {
    this.#jobs = jobs;
    this.#titleOf = titleOf;
  }

  /** Looks into each file; a bad one is listed with its sentence beside the good ones. */
  async bring(files: readonly Bytes[]): Promise<void> {
    await Promise.all(
      files.map(async (bytes) => {
        const id = this.#next++;
        const entry = {
          definition: '',
          title: bytes.name.replace(/\.[^.]+$/, ''),
          band: 1,
          period: '',
          source: '',
          date: '',
        };
        this.items = [...this.items, { id, bytes, inspection: null, failure: null, entry }];
        const result = await this.#jobs.run('inspect', { bytes }).result;
        if (result.ok) {
          const definition = result.value.definitions[0] ?? '';
          this.#edit(id, {
            inspection: result.value,
            entry: { ...entry, definition, title: this.#titleOf(definition) || entry.title },
          });
        } else {
          this.#edit(id, { failure: result.failure });
        }
      }),
    );
  }

  change(id: number, part: Partial<IntakeItem['entry']>): void {
    const item = this.items.find((i) => i.id === id);
    if (item) this.#edit(id, { entry: { ...item.entry, ...part } });
  }

  putAway(id: number): void {
    this.items = this.items.filter((i) => i.id !== id);
  }

  /** Items that can become layers now. */
  get ready(): readonly IntakeItem[] {
    return this.items.filter((i) => i.inspection !== null && i.entry.definition !== '');
  }

  clear(): void {
    this.items = [];
  }

  #edit(id: number, part: Partial<IntakeItem>): void {
    this.items = this.items.map((i) => (i.id === id ? { ...i, ...part } : i));
  }
}
