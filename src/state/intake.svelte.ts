/** Files that the user brought and that are not layers yet: what each holds, and what it shall become. Changes nothing until accepted. */
import type { Box } from '../domain/base/geo.ts';
import { fail, type Failure } from '../domain/base/result.ts';
import { belongsTo, together } from '../domain/plan/beside.ts';
import { relinkOf, type Fingerprint } from '../domain/plan/relink.ts';
import type { LayerEntry } from '../domain/plan/schema.ts';
import type { JobClient, Running } from '../jobs/client.ts';
import type { Bytes, Inspection, Reading, SystemGuess, TableChoices, TableSurvey } from '../jobs/protocol.ts';

/** The layer as it would be added; the user edits it. */
export type LayerDraft = Omit<LayerEntry, 'id' | 'path' | 'url' | 'title' | 'size' | 'sha256'> & {
  title: string;
};

export interface IntakeItem {
  readonly id: number;
  readonly bytes: Bytes;
  readonly inspection: Inspection | null;
  readonly failure: Failure | null;
  /** How far looking into it has come; null when that is over. */
  readonly working: { readonly done: number; readonly total: number; readonly what: string } | null;
  /** A table read with the columns as they are chosen now; null while it is read, and where it cannot be (`failure`). */
  readonly survey: TableSurvey | null;
  /** Coordinate systems that would fit a file that does not say its own; null: not asked for. */
  readonly guesses: readonly SystemGuess[] | null;
  /** Columns were chosen like this for the same headers before. */
  readonly remembered: boolean;
  /** By what the file is known again; null for an address, and until it is known. */
  readonly print: Fingerprint | null;
  /** The layer whose file is missing and is called like this one, which is another; null: none. */
  readonly instead: { readonly layer: string; readonly what: string } | null;
  readonly entry: LayerDraft;
}

interface Parts {
  readonly titleOf: (definition: string) => string;
  /** Where the work is, as far as it is known: coordinate systems of that area are the likelier ones. */
  readonly near: () => Box | null;
  /** Choices made for a table with these headers before. */
  readonly recall: (columns: readonly string[]) => Promise<Partial<LayerDraft> | null>;
  /** Layers whose file is not in the workspace. */
  readonly missing: () => readonly LayerEntry[];
  /** Gives such a layer its file back; `checked`: size and hash are the same, not only the name. */
  readonly relink: (layer: string, bytes: Bytes, print: Fingerprint, checked: boolean) => void;
  /** Photos are no layers: they go to the candidates. */
  readonly photos: (items: readonly IntakeItem[]) => void;
}

/** Changes of these read the file anew. */
const READING: ReadonlyArray<keyof Reading> = ['crs', 'part', 'mend', 'band'];

export class Intake {
  items = $state.raw<readonly IntakeItem[]>([]);
  #jobs: JobClient;
  #parts: Parts;
  #running = new Map<number, Running<'inspect' | 'survey'>>();
  #next = 1;

  constructor(jobs: JobClient, parts: Parts) {
    this.#jobs = jobs;
    this.#parts = parts;
  }

  /**
   * Looks into each file; a bad one is listed with its sentence beside the good ones. Files that stand beside another
   * (zones.prj) go with it, also when it was brought before them.
   */
  async bring(files: readonly Bytes[]): Promise<void> {
    const blobs = files.filter((f) => f.kind === 'blob');
    const { groups, loose } = together(blobs);
    const added = [
      ...files.filter((f) => f.kind === 'url'),
      ...groups.map(({ main, beside }): Bytes => ({
        ...main,
        beside: [...(main.beside ?? []), ...beside.map(({ name, blob }) => ({ name, blob }))],
      })),
    ].map((bytes) => this.#add(bytes));
    const again = new Set<number>();
    for (const side of loose) {
      const owner = this.items.find((i) => i.bytes.kind === 'blob' && belongsTo(side.name, i.bytes.name));
      if (owner?.bytes.kind === 'blob') {
        const { name, blob } = side;
        const rest = (owner.bytes.beside ?? []).filter((b) => b.name.toLowerCase() !== name.toLowerCase());
        this.#edit(owner.id, { bytes: { ...owner.bytes, beside: [...rest, { name, blob }] } });
        again.add(owner.id);
      } else if (/\.dbf$/i.test(side.name)) added.push(this.#add(side));
      else this.#edit(this.#add(side), { failure: alone(side.name), working: null });
    }
    await Promise.all([...added.map((id) => this.#first(id)), ...[...again].map((id) => this.#look(id))]);
  }

  /** Takes what the user chose; reads the file anew where that depends on it. */
  change(id: number, part: { readonly [K in keyof LayerDraft]?: LayerDraft[K] | undefined }): void {
    const item = this.items.find((i) => i.id === id);
    if (!item) return;
    // Another thing in the file is another layer: what was chosen for the one before says nothing of it.
    const other = part.part !== undefined && part.part !== item.entry.part;
    const anew = {
      definition: '',
      columns: undefined,
      names: undefined,
      key: undefined,
      name: undefined,
      band: 1,
    };
    const entry = { ...item.entry, ...(other ? anew : {}), ...part } as LayerDraft;
    this.#edit(id, { entry, ...(other ? { remembered: false } : {}) });
    const changed = (keys: ReadonlyArray<keyof LayerDraft>): boolean =>
      keys.some((key) => key in part && part[key] !== item.entry[key]);
    // Positions of a table are in its cells: the file itself need not be read again.
    const table = item.inspection?.kind === 'table';
    if (changed(table ? ['part'] : READING)) void this.#look(id);
    else if (changed(['columns', 'names', 'definition', ...READING])) void this.#survey(id);
  }

  /** The next of the things in a file, or the next band of it, that is not listed yet; null where there is none. */
  next(id: number): { readonly part: string } | { readonly band: number } | null {
    const item = this.items.find((i) => i.id === id);
    const found = item?.inspection;
    if (!item || !found) return null;
    const listed = this.items.filter((i) => i.bytes === item.bytes);
    const partOf = (i: IntakeItem): string => i.entry.part ?? i.inspection?.part ?? '';
    const part = found.parts.find((p) => !listed.some((i) => partOf(i) === p.name));
    if (part) return { part: part.name };
    if (found.kind !== 'raster') return null;
    const bands = listed.filter((i) => partOf(i) === partOf(item)).map((i) => i.entry.band);
    const band = found.fields.findIndex((_, b) => !bands.includes(b + 1)) + 1;
    return band > 0 ? { band } : null;
  }

  /** Lists a file once more, for the next of the things in it: a GeoPackage may hold roads beside buildings. */
  another(id: number): void {
    const item = this.items.find((i) => i.id === id);
    const next = this.next(id);
    if (!item || !next) return;
    const added = this.#add(item.bytes);
    const { crs, mend, part, source, date, licence } = item.entry;
    const entry = this.items.find((i) => i.id === added)?.entry as LayerDraft;
    const same = {
      ...(crs ? { crs } : {}),
      ...(mend ? { mend } : {}),
      ...('band' in next && part ? { part } : {}),
    };
    this.#edit(added, { print: item.print, entry: { ...entry, source, date, licence, ...same, ...next } });
    // Beside the one it was asked for at.
    const [last] = this.items.slice(-1);
    const rest = this.items.slice(0, -1);
    const at = rest.findIndex((i) => i.id === id) + 1;
    this.items = [...rest.slice(0, at), last, ...rest.slice(at)];
    void this.#look(added);
  }

  /** Stops looking into a file; it stays listed. */
  stop(id: number): void {
    this.#running.get(id)?.cancel();
  }

  lookAgain(id: number): void {
    void this.#look(id);
  }

  putAway(id: number): void {
    this.stop(id);
    this.items = this.items.filter((i) => i.id !== id);
  }

  /** Items that can become layers now. */
  get ready(): readonly IntakeItem[] {
    return this.items.filter(
      (i) => i.inspection !== null && i.failure === null && !i.working && i.entry.definition !== '',
    );
  }

  clear(): void {
    for (const { id } of this.items) this.stop(id);
    this.items = [];
  }

  #add(bytes: Bytes): number {
    const id = this.#next++;
    const entry: LayerDraft = {
      definition: '',
      title: bytes.name.replace(/\.[^.]+$/, ''),
      band: 1,
      period: '',
      source: '',
      date: '',
      licence: '',
    };
    this.items = [
      ...this.items,
      {
        id,
        bytes,
        inspection: null,
        failure: null,
        working: { done: 0, total: 0, what: '' },
        guesses: null,
        survey: null,
        remembered: false,
        print: null,
        instead: null,
        entry,
      },
    ];
    return id;
  }

  /** A file that a layer lacks goes to that layer; any other is looked into. */
  async #first(id: number): Promise<void> {
    const item = this.items.find((i) => i.id === id);
    if (!item) return;
    const missing = this.#parts.missing();
    if (item.bytes.kind === 'blob' && missing.length > 0) {
      const print = await this.#print(item.bytes);
      const found = print ? relinkOf({ name: item.bytes.name, ...print }, missing) : null;
      if (print && found?.kind === 'same') {
        this.items = this.items.filter((i) => i.id !== id);
        this.#parts.relink(found.layer, item.bytes, print, found.checked);
        return;
      }
      const instead = found?.kind === 'different' ? { layer: found.layer, what: found.what } : null;
      this.#edit(id, { print, instead });
    }
    await this.#look(id);
  }

  async #print(bytes: Bytes): Promise<Fingerprint | null> {
    if (bytes.kind === 'url') return null;
    const result = await this.#jobs.run('fingerprint', { bytes }).result;
    return result.ok ? result.value : null;
  }

  async #look(id: number): Promise<void> {
    const item = this.items.find((i) => i.id === id);
    if (!item) return;
    this.#running.get(id)?.cancel();
    this.#edit(id, { working: { done: 0, total: 0, what: '' } });
    const { crs, part, mend, band } = item.entry;
    const running = this.#jobs.run(
      'inspect',
      { bytes: item.bytes, reading: { crs, part, mend, band } },
      (done, total, what) => {
        if (this.#running.get(id) === running) this.#edit(id, { working: { done, total, what } });
      },
    );
    this.#running.set(id, running);
    const result = await running.result;
    // Looked into anew meanwhile, with other choices.
    if (this.#running.get(id) !== running) return;
    this.#running.delete(id);
    const now = this.items.find((i) => i.id === id);
    if (!now) return;
    if (!result.ok) {
      // A choice that does not work out leaves what was understood before beside the sentence.
      this.#edit(id, { working: null, failure: result.failure, inspection: null });
      if (result.failure.coordinates) await this.#guess(id, result.failure.coordinates);
      return;
    }
    const inspection = result.value;
    const print = now.print ?? (await this.#print(now.bytes));
    this.#edit(id, { print, failure: null, inspection, guesses: null });
    if (inspection.format === 'Photo') {
      this.items = this.items.filter((i) => i.id !== id);
      this.#parts.photos([{ ...now, inspection, failure: null, working: null }]);
      return;
    }
    await this.#understand(id, now.entry, inspection);
    await this.#survey(id);
  }

  /** First choices for what was found; what the user chose already stays, where it still can. */
  async #understand(id: number, entry: LayerDraft, inspection: Inspection): Promise<void> {
    const { definitions, sample, period, part } = inspection;
    const kept = definitions.includes(entry.definition);
    const definition = kept ? entry.definition : inspection.definition;
    const title = kept ? entry.title : this.#parts.titleOf(definition) || entry.title;
    const draft: LayerDraft = {
      ...entry,
      definition,
      title,
      period: entry.period || period,
      ...(part && entry.part === undefined && inspection.parts.length > 1 ? { part } : {}),
      band: inspection.kind === 'raster' && entry.band > inspection.fields.length ? 1 : entry.band,
    };
    this.#edit(id, { entry: draft });
    if (entry.columns || !sample || !surveyed(inspection, draft)) return;
    const before = await this.#parts.recall(sample.columns);
    const now = this.items.find((i) => i.id === id);
    // The user was quicker, or the file has been put away.
    if (!before || !now || now.entry.columns) return;
    const known = before.definition !== undefined && definitions.includes(before.definition);
    this.#edit(id, {
      remembered: true,
      entry: {
        ...now.entry,
        ...before,
        ...(known
          ? { title: this.#parts.titleOf(before.definition ?? '') || now.entry.title }
          : { definition: now.entry.definition }),
      },
    });
  }

  /** Reads a table through with the columns as chosen: only then is it known what is wrong in which row. */
  async #survey(id: number): Promise<void> {
    const item = this.items.find((i) => i.id === id);
    const inspection = item?.inspection;
    if (!item || !inspection) return;
    this.#running.get(id)?.cancel();
    this.#running.delete(id);
    if (!surveyed(inspection, item.entry)) {
      this.#edit(id, { working: null, failure: null, survey: null });
      return;
    }
    this.#edit(id, { working: { done: 0, total: 0, what: '' } });
    const { part, columns, names, mend, crs } = item.entry;
    const entry = { columns, names, mend, crs } as TableChoices;
    const progress = (done: number, total: number, what: string): void => {
      if (this.#running.get(id) === running) this.#edit(id, { working: { done, total, what } });
    };
    const input = { bytes: item.bytes, reading: { part } as Reading, entry };
    const running = this.#jobs.run('survey', input, progress);
    this.#running.set(id, running);
    const result = await running.result;
    if (this.#running.get(id) !== running) return;
    this.#running.delete(id);
    this.#edit(id, {
      working: null,
      survey: result.ok ? result.value : null,
      failure: result.ok ? null : result.failure,
    });
    if (!result.ok && result.failure.coordinates) await this.#guess(id, result.failure.coordinates);
  }

  async #guess(id: number, coordinates: Box): Promise<void> {
    const result = await this.#jobs.run('systems', { coordinates, near: this.#parts.near() }).result;
    this.#edit(id, { guesses: result.ok ? result.value : [] });
  }

  #edit(id: number, part: Partial<IntakeItem>): void {
    this.items = this.items.map((i) => (i.id === id ? { ...i, ...part } : i));
  }
}

/** A table that becomes places is read through before it is added; so are points and stands that become candidates. */
const surveyed = (i: Inspection, entry: LayerDraft): boolean =>
  i.kind === 'table' || (i.kind !== 'raster' && i.kind !== 'line' && entry.definition === 'candidates');

const alone = (name: string): Failure =>
  fail(
    'content',
    name,
    'only says something of another file of the same name, which was not brought',
    'Choose both together.',
  ).failure;
