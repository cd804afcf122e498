/** The opened layers: bytes by path, what each holds, and the candidates of all of them together. */
import { fail, ok, type Failure, type Note, type Result } from '../domain/base/result.ts';
import type { Candidates } from '../domain/candidates/candidates.ts';
import { applyEdits } from '../domain/candidates/hand/edits.ts';
import { join } from '../domain/candidates/join.ts';
import { belongsTo } from '../domain/plan/beside.ts';
import { groundOf, isComputed } from '../domain/plan/computed.ts';
import type { CandidateEdits, LayerEntry, Plan } from '../domain/plan/schema.ts';
import type { JobClient } from '../jobs/client.ts';
import type { Bytes, LayerView } from '../jobs/protocol.ts';

export type LayerState =
  | { readonly kind: 'opening'; readonly done: number; readonly total: number; readonly what: string }
  | { readonly kind: 'open'; readonly view: LayerView }
  | { readonly kind: 'failed'; readonly failure: Failure };

/**
 * The parts of an entry that decide what its bytes mean: a change of another part needs no second reading. A layer that is
 * computed from another is opened anew with that one.
 */
const openingKey = (e: LayerEntry, layers: readonly LayerEntry[]): string => {
  const ground = isComputed(e) ? layers.find((l) => l.id === e.from) : undefined;
  return JSON.stringify([
    e.from,
    ground && ground.from === undefined ? openingKey(ground, layers) : null,
    e.radius,
    e.definition,
    e.path,
    e.url,
    e.band,
    e.unit,
    e.crs,
    e.key,
    e.name,
    e.columns,
    e.part,
    e.mend,
    e.names,
  ]);
};

export class Layers {
  /** By layer id. */
  states = $state.raw<Readonly<Record<string, LayerState>>>({});
  /**
   * The candidates that the screens show, with the edits by hand. Rows of vetting, parent set and day are rows of these: where
   * an edit gives trees other rows, they follow `edited` together with the vetting, not before.
   */
  candidates = $state.raw<Candidates | null>(null);
  /** With all edits of the plan, at once. */
  edited = $state.raw<Candidates | null>(null);
  /** As the files have them. */
  fromFiles = $state.raw<Candidates | null>(null);
  candidateNotes = $state.raw<readonly Note[]>([]);
  /** Edits that could not be laid on. */
  editNotes = $state.raw<readonly Note[]>([]);
  /** Changes whenever the content of any layer does. */
  revision = $state(0);

  #jobs: JobClient;
  #tiles: JobClient;
  /** Files that the user brought, by path in the plan. */
  #files = new Map<string, Blob>();
  #base: string | null = null;
  #opened = new Map<string, string>();
  #syncing: Promise<void> = Promise.resolve();
  /** What `edited` was made of. */
  #editedFrom: { files: Candidates | null; edits: CandidateEdits } | null = null;
  /** True while a vetting on screen hangs on the rows of `candidates`. */
  holdsRows: () => boolean = () => false;
  /** Told before other candidates are shown. */
  onShow: (from: Candidates | null, to: Candidates | null) => void = () => undefined;

  constructor(jobs: JobClient, tiles: JobClient) {
    this.#jobs = jobs;
    this.#tiles = tiles;
  }

  get files(): ReadonlyMap<string, Blob> {
    return this.#files;
  }
  get base(): string | null {
    return this.#base;
  }

  /** Another workspace: forgets all that is open. */
  async reset(base: string | null, files: ReadonlyMap<string, Blob>): Promise<void> {
    for (const id of this.#opened.keys()) await this.#close(id);
    this.#base = base;
    this.#files = new Map(files);
    this.states = {};
    this.candidates = this.edited = this.fromFiles = null;
    this.candidateNotes = [];
    this.editNotes = [];
    this.#editedFrom = null;
    this.revision++;
  }

  /** Files kept beside this one ("zones.prj" beside "zones.shp"). */
  beside(path: string): Array<[string, Blob]> {
    return [...this.#files].filter(([p]) => belongsTo(p, path));
  }

  keep(path: string, blob: Blob): void {
    this.#files.set(path, blob);
  }

  view(id: string): LayerView | null {
    const s = this.states[id];
    return s?.kind === 'open' ? s.view : null;
  }

  /** Where a layer's bytes are: a kept file, an address, or beside the plan the workspace came from. */
  bytes(entry: Pick<LayerEntry, 'path' | 'url'>): Result<Bytes> {
    if (entry.url !== undefined)
      return ok({ kind: 'url', name: entry.url.split('/').at(-1) ?? entry.url, url: entry.url });
    const path = entry.path ?? '';
    const name = path.split('/').at(-1) ?? path;
    const blob = this.#files.get(path);
    if (blob) {
      const beside = this.beside(path).map(([p, b]) => ({ name: p.split('/').at(-1) ?? p, blob: b }));
      return ok({ kind: 'blob', name, blob, ...(beside.length > 0 ? { beside } : {}) });
    }
    if (this.#base !== null) return ok({ kind: 'url', name, url: new URL(path, this.#base).href });
    return fail(
      'unreadable',
      path,
      'is named by the plan but is not in this workspace',
      'Add the file again in the Layers stage.',
    );
  }

  /** The same, null where there are none. */
  bytesOf(entry: Pick<LayerEntry, 'path' | 'url'>): Bytes | null {
    const bytes = this.bytes(entry);
    return bytes.ok ? bytes.value : null;
  }

  /** True for a layer whose file was in the workspace once and no longer is. */
  lacksFile(entry: LayerEntry): boolean {
    return entry.path !== undefined && this.#base === null && !this.#files.has(entry.path);
  }

  /** The next `sync` opens this layer anew: its file has come back. */
  reopen(id: string): Promise<void> {
    this.#syncing = this.#syncing.then(() => (this.#opened.has(id) ? this.#close(id) : undefined));
    return this.#syncing;
  }

  /** Opens what the plan names and is not open, closes what it no longer names. Resolves when all have settled. */
  sync(plan: Plan): Promise<void> {
    // One after the other: a second call waits for what the first is opening.
    this.#syncing = this.#syncing.then(async () => {
      await this.#sync(plan);
      this.#edit(plan);
    });
    return this.#syncing;
  }

  /** The edits that `edited` holds. */
  get edits(): CandidateEdits | null {
    return this.#editedFrom?.edits ?? null;
  }

  /** Shows other candidates; whoever calls has the results that go with them. */
  show(candidates: Candidates | null): void {
    if (candidates === this.candidates) return;
    this.onShow(this.candidates, candidates);
    this.candidates = candidates;
  }

  #edit({ candidates: edits }: Plan): void {
    const files = this.fromFiles;
    if (this.#editedFrom?.files === files && this.#editedFrom.edits === edits) return;
    this.#editedFrom = { files, edits };
    const { candidates, notes } = applyEdits(files ?? join([]), edits);
    this.edited = files || candidates.n > 0 ? candidates : null;
    this.editNotes = notes;
    if (!this.holdsRows() || sameRows(this.candidates, this.edited)) this.show(this.edited);
  }

  async #sync(plan: Plan): Promise<void> {
    const wanted = new Map(plan.layers.map((l) => [l.id, openingKey(l, plan.layers)]));
    let changed = false;
    const from = new Map(plan.layers.map((l) => [l.id, l.from]));
    for (const [id, key] of [...this.#opened]) {
      // What is computed from a layer that is to be opened (again) is computed again.
      const ground = from.get(id);
      const stands = ground === undefined || !wanted.has(ground) || this.#opened.has(ground);
      if (wanted.get(id) === key && stands) continue;
      await this.#close(id);
      changed = true;
    }
    const missing = plan.layers.filter((l) => !this.#opened.has(l.id));
    if (missing.length === 0 && !changed) return;
    for (const entry of missing) this.#opened.set(entry.id, openingKey(entry, plan.layers));
    await Promise.all(missing.filter((l) => !isComputed(l)).map((entry) => this.#open(entry)));
    await Promise.all(missing.filter(isComputed).map((entry) => this.#compute(entry, plan.layers)));
    if (changed || missing.some((l) => l.definition === 'candidates')) await this.#readCandidates();
    this.revision++;
  }

  async #open(entry: LayerEntry): Promise<void> {
    const bytes = this.bytes(entry);
    if (bytes.ok) await this.#run(entry, bytes.value);
    else this.#set(entry.id, { kind: 'failed', failure: bytes.failure });
  }

  async #compute(entry: LayerEntry, layers: readonly LayerEntry[]): Promise<void> {
    const ground = groundOf(entry, layers);
    const open = ground.ok ? this.#mustBeOpen(entry, ground.value) : ground;
    if (open.ok) await this.#run(entry, null);
    else this.#set(entry.id, { kind: 'failed', failure: open.failure });
  }

  #mustBeOpen(entry: LayerEntry, ground: LayerEntry): Result<null> {
    if (this.view(ground.id)) return ok(null);
    return fail(
      'unreadable',
      entry.title ?? entry.id,
      `is computed from ${ground.title ?? ground.id}, which could not be opened`,
      'See what is wrong with that layer.',
    );
  }

  /** In both workers. @param bytes null: computed from a layer that is open there. */
  async #run(entry: LayerEntry, bytes: Bytes | null): Promise<void> {
    this.#set(entry.id, { kind: 'opening', done: 0, total: 1, what: 'opening' });
    const result = await this.#jobs.run('open', { entry, bytes }, (done, total, what) =>
      this.#set(entry.id, { kind: 'opening', done, total, what }),
    ).result;
    if (!this.#opened.has(entry.id)) return;
    if (!result.ok) {
      this.#set(entry.id, { kind: 'failed', failure: result.failure });
      return;
    }
    // Pictures for the map are made in a worker of their own, so that a long vetting never holds up the map.
    if (result.value.raster) {
      const drawn = await this.#tiles.run('open', { entry, bytes }).result;
      if (!drawn.ok) {
        this.#set(entry.id, { kind: 'failed', failure: drawn.failure });
        return;
      }
    }
    this.#set(entry.id, { kind: 'open', view: result.value });
  }

  async #close(id: string): Promise<void> {
    this.#opened.delete(id);
    const { [id]: _gone, ...rest } = this.states;
    this.states = rest;
    await Promise.all([this.#jobs.run('close', { id }).result, this.#tiles.run('close', { id }).result]);
  }

  async #readCandidates(): Promise<void> {
    const result = await this.#jobs.run('candidates', null).result;
    this.fromFiles = result.ok ? result.value.candidates : null;
    this.candidateNotes = result.ok
      ? result.value.notes
      : [{ where: result.failure.where, what: result.failure.what }];
  }

  #set(id: string, state: LayerState): void {
    this.states = { ...this.states, [id]: state };
  }
}

/** The same trees in the same rows. */
function sameRows(a: Candidates | null, b: Candidates | null): boolean {
  if (!a || !b) return a === b;
  return a.id === b.id || (a.n === b.n && a.id.every((id, row) => id === b.id[row]));
}
