/**
 * Everything the screen works with, put together: document, session, selection, layers, results. Components get it by
 * `getKinstand()`; it is made once, in app/main.ts.
 */
import { getContext, setContext } from 'svelte';
import { overlap } from '../domain/base/box.ts';
import type { Box } from '../domain/base/geo.ts';
import { fail, ok, type Result } from '../domain/base/result.ts';
import { editPlanting, type Change } from '../domain/plan/change.ts';
import { freshPlan } from '../domain/plan/fresh.ts';
import { findPlanting } from '../domain/plan/keys.ts';
import { parsePlan } from '../domain/plan/parse.ts';
import { sitesOf } from '../domain/plan/sites.ts';
import type { Plan, PlanPlace, Planting } from '../domain/plan/schema.ts';
import { resolveSpecies } from '../domain/species/species.ts';
import type { JobClient } from '../jobs/client.ts';
import type { Bytes, Jobs } from '../jobs/protocol.ts';
import type { Store, WorkspaceRecord } from '../storage/store.ts';
import { BasemapState } from './basemap.svelte.ts';
import { Autosave } from './autosave.svelte.ts';
import { EvidenceState } from './evidence.svelte.ts';
import type { Exporter } from './exporter.ts';
import { rowMap } from './followRows.ts';
import { PlanDocument } from './document.svelte.ts';
import { Contacts } from './contacts.svelte.ts';
import { FilesIn } from './filesIn.svelte.ts';
import type { Intake } from './intake.svelte.ts';
import { Layers } from './layers.svelte.ts';
import { Look } from './look.svelte.ts';
import { Notices } from './notices.svelte.ts';
import { PatternState } from './pattern.svelte.ts';
import { Photos } from './photos.svelte.ts';
import { Ranking } from './ranking.svelte.ts';
import { Results } from './results.svelte.ts';
import { Selection, type Page } from './selection.svelte.ts';
import { Session, type SessionData } from './session.svelte.ts';
import { SiteFileState } from './siteFile.svelte.ts';
import { SiteWork } from './sites.svelte.ts';
import { SpreadState } from './spread.svelte.ts';
import { SurfaceState } from './surface.svelte.ts';
import { SurfaceFile } from './surfaceFile.svelte.ts';
import { WeightsState } from './weights.svelte.ts';
import { parentProblem } from '../domain/parents/inputs.ts';
import type { WhyNot } from '../domain/parents/types.ts';

/** How the map tells candidates of another species than the planting's from the three standings. */
const OTHER_SPECIES = 3;
/** What is left out of the points altogether. */
const NOT_DRAWN = 4;

/** Shown at once when a workspace opens, without waiting to be switched on. */
const SHOWN_AT_FIRST = ['elevation', 'zones'];

const ONLY_SHOWN =
  'This workspace is open in another tab; this one only shows it. Close the other tab and reload to edit here.';

export interface Parts {
  /** Layers and vetting. */
  readonly data: JobClient;
  /** Choice and route: apart, so that a long search does not hold up vetting. */
  readonly solver: JobClient;
  /** Map pictures: apart, so that the map never waits. */
  readonly tiles: JobClient;
  readonly store: Store | null;
  /** ISO time, for saves. */
  readonly now: () => string;
  readonly newId: () => string;
  /** Address of the demo workspace's folder, ending in a slash. */
  readonly demo: string;
  readonly exporter: (kinstand: Kinstand) => Exporter;
  /** Reads a JSON file beside the app. */
  readonly fetchJson: (url: string) => Promise<Result<unknown>>;
  readonly packWorkspace: (
    plan: Plan,
    files: ReadonlyArray<{ path: string; bytes: Uint8Array }>,
  ) => Promise<Uint8Array>;
  readonly unpackWorkspace: (
    bytes: Uint8Array,
    name: string,
  ) => Promise<Result<{ plan: unknown; files: ReadonlyArray<{ path: string; bytes: Uint8Array }> }>>;
}

export class Kinstand {
  readonly document = new PlanDocument();
  readonly session = new Session();
  readonly selection = new Selection();
  readonly look = new Look();
  readonly notices = new Notices();
  readonly layers: Layers;
  readonly basemap: BasemapState;
  readonly results: Results;
  readonly spread: SpreadState;
  readonly pattern: PatternState;
  readonly surface: SurfaceState;
  readonly ranking: Ranking;
  readonly evidence: EvidenceState;
  readonly surfaceFile: SurfaceFile;
  readonly weights: WeightsState;
  readonly autosave: Autosave;
  readonly filesIn: FilesIn;
  readonly intake: Intake;
  readonly contacts: Contacts;
  readonly photos: Photos;
  readonly sites: SiteWork;
  readonly exporter: Exporter;
  /** 'opening' until a workspace is on screen. */
  phase = $state<'opening' | 'ready'>('opening');
  /** Counts workspaces opened: the map fits itself anew. */
  opened = $state(0);
  /** Candidate points for the map, as GeoJSON text; made anew when the vetting is. */
  points = $state.raw<Blob | null>(null);
  /** Whether those are only some of the candidates: what the ledger lists. */
  pointsNarrowed = $state(false);
  whyNot = $state.raw<{ row: number; key: string; answer: WhyNot | null } | null>(null);
  #parts: Parts;
  #pointsOf: object | null = null;
  /** Rows to draw; null all. */
  #only: readonly number[] | null = null;
  /** Workspaces are opened one after the other: two at once would mix their layers. */
  #turn: Promise<unknown> = Promise.resolve();

  constructor(parts: Parts) {
    this.#parts = parts;
    this.layers = new Layers(parts.data, parts.tiles);
    this.basemap = new BasemapState(parts.tiles, (b) => this.layers.bytes(b));
    this.spread = new SpreadState(parts.data);
    this.pattern = new PatternState(parts.data);
    this.surface = new SurfaceState(parts.tiles);
    this.ranking = new Ranking(parts.data);
    this.evidence = new EvidenceState(parts.data);
    this.surfaceFile = new SurfaceFile(parts.data);
    this.weights = new WeightsState(parts.solver);
    this.results = new Results(parts.data, parts.solver, this.layers);
    this.autosave = new Autosave(parts.store, this.document, this.session, this.layers, parts.now);
    this.filesIn = new FilesIn({
      jobs: parts.data,
      store: parts.store,
      layers: this.layers,
      plan: () => this.plan,
      near: () => whereabouts(this.planting, this.layers),
      readOnly: () => this.readOnly,
      editable: () => this.#editable(),
      apply: (change) => this.apply(change),
      cameBack: (layer) => {
        this.autosave.touch();
        void this.layers.reopen(layer).then(() => this.update());
      },
      added: (entries) => {
        for (const e of entries) if (SHOWN_AT_FIRST.includes(e.definition)) this.session.show(e.id, true);
      },
      photos: (items) => {
        this.photos.bring(items);
        this.session.stage = 'candidates';
      },
      say: (text) => this.notices.note(text),
    });
    this.intake = this.filesIn.intake;
    this.photos = new Photos({
      plan: () => this.plan,
      candidates: () => this.layers.edited,
      editable: () => this.#editable(),
      apply: (change) => this.apply(change),
      keep: (path, blob) => this.layers.keep(path, blob),
      paths: () => this.layers.files.keys(),
      inspect: (bytes) => parts.data.run('inspect', { bytes, reading: {} }).result,
      fail: (failure) => this.notices.fail(failure),
    });
    this.sites = new SiteWork({
      plan: () => this.plan,
      planting: () => this.planting,
      apply: (change) => this.apply(change),
      say: (text) => this.notices.note(text),
      file: new SiteFileState({
        jobs: parts.data,
        near: () => this.planting?.site ?? null,
        box: () => whereabouts(this.planting, this.layers),
        say: (text) => this.notices.note(text),
      }),
    });
    this.layers.holdsRows = () => this.results.vetting !== null;
    this.layers.onShow = (from, to) => {
      if (from && to && from.id !== to.id) {
        this.selection.follow(rowMap(from.id, to.id));
        this.whyNot = null;
      }
      const row = this.selection.awaited === null ? -1 : (to?.id.indexOf(this.selection.awaited) ?? -1);
      if (row < 0) return;
      this.selection.awaited = null;
      this.selection.select(row, true);
    };
    this.results.onVetting = () => void this.#drawPoints();
    this.contacts = new Contacts(parts.data);
    this.exporter = parts.exporter(this);
    this.document.onChange(() => {
      if (this.phase !== 'ready') return;
      this.autosave.touch();
      void this.update();
    });
  }

  get plan(): Plan {
    return this.document.plan;
  }

  get planting(): Planting | null {
    return findPlanting(this.plan, this.session.plantingId) ?? this.plan.plantings[0] ?? null;
  }

  get readOnly(): boolean {
    return this.autosave.state === 'read-only';
  }

  /** Opens the workspace kept last in this browser, else the demo. */
  async start(): Promise<void> {
    const store = this.#parts.store;
    const current = store ? await store.current() : ok(null);
    if (!current.ok) this.notices.fail(current.failure);
    if (current.ok && current.value !== null && (await this.openKept(current.value))) return;
    await this.openDemo();
  }

  openDemo(): Promise<void> {
    return this.#inTurn(() => this.#openDemo());
  }

  async #openDemo(): Promise<void> {
    const json = await this.#parts.fetchJson(new URL('plan.json', this.#parts.demo).href);
    const plan = json.ok ? parsePlan(json.value, 'Demo workspace') : json;
    if (!plan.ok) {
      this.notices.fail(plan.failure);
      await this.#show(freshPlan('Untitled workspace'), null, new Map(), {}, this.#parts.newId(), []);
      return;
    }
    await this.#show(
      plan.value,
      this.#parts.demo,
      new Map(),
      { shown: this.#shownAtFirst(plan.value) },
      'demo',
      [],
    );
  }

  openEmpty(title: string): Promise<void> {
    return this.#inTurn(() => this.#openEmpty(title));
  }

  async #openEmpty(title: string): Promise<void> {
    await this.#show(freshPlan(title), null, new Map(), { stage: 'planting' }, this.#parts.newId(), []);
    this.autosave.touch();
  }

  /** False when it is not there or cannot be read (which is then said). */
  openKept(id: string): Promise<boolean> {
    return this.#inTurn(() => this.#openKept(id));
  }

  async #openKept(id: string): Promise<boolean> {
    const loaded = (await this.#parts.store?.load(id)) ?? ok(null);
    if (!loaded.ok) this.notices.fail(loaded.failure);
    if (!loaded.ok || loaded.value === null) return false;
    const { record, files } = loaded.value;
    const plan = parsePlan(record.plan, `Kept workspace "${record.title}"`);
    if (!plan.ok) {
      // Set aside, not deleted: it stays in the list and can be tried again by a newer version.
      this.notices.fail(plan.failure);
      return false;
    }
    const blobs = new Map(files.map((f) => [f.path, f.blob]));
    await this.#show(
      plan.value,
      record.base === null ? null : this.#parts.demo,
      blobs,
      record.session,
      id,
      blobs.keys(),
    );
    return true;
  }

  async listKept(): Promise<WorkspaceRecord[]> {
    const list = (await this.#parts.store?.list()) ?? ok([]);
    if (!list.ok) {
      this.notices.fail(list.failure);
      return [];
    }
    return [...list.value].sort((a, b) => b.savedAt.localeCompare(a.savedAt));
  }

  async removeKept(id: string): Promise<void> {
    const result = await this.#parts.store?.remove(id);
    if (result && !result.ok) this.notices.fail(result.failure);
  }

  /** A workspace file (zip) takes the place of what is open; what was open stays kept in the browser. */
  openFile(file: File): Promise<void> {
    return this.#inTurn(() => this.#openFile(file));
  }

  async #openFile(file: File): Promise<void> {
    const unpacked = await this.#parts.unpackWorkspace(new Uint8Array(await file.arrayBuffer()), file.name);
    if (!unpacked.ok) return this.notices.fail(unpacked.failure);
    const plan = parsePlan(unpacked.value.plan, file.name);
    if (!plan.ok) return this.notices.fail(plan.failure);
    const files = new Map(unpacked.value.files.map((f) => [f.path, new Blob([f.bytes as BlobPart])]));
    await this.autosave.flush();
    await this.#show(
      plan.value,
      null,
      files,
      { shown: this.#shownAtFirst(plan.value) },
      this.#parts.newId(),
      [],
    );
    this.autosave.touch();
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#turn.then(work);
    // The next one starts whether this one went well or not; its caller hears of it.
    this.#turn = done.catch(() => undefined);
    return done;
  }

  /** The whole workspace as one file. */
  async packFile(): Promise<Result<Blob>> {
    const files: { path: string; bytes: Uint8Array }[] = [];
    const { layers, photos, basemap } = this.plan;
    for (const entry of [...layers, ...photos, ...(basemap ? [basemap] : [])]) {
      if (entry.path === undefined || files.some((f) => f.path === entry.path)) continue;
      const bytes = this.layers.bytes(entry);
      if (!bytes.ok) return bytes;
      const b = bytes.value;
      if (b.kind === 'blob') {
        for (const [path, blob] of [[entry.path, b.blob] as const, ...this.layers.beside(entry.path)])
          files.push({ path, bytes: new Uint8Array(await blob.arrayBuffer()) });
        continue;
      }
      const response = await fetch(b.url);
      if (!response.ok)
        return fail(
          'unreadable',
          entry.path,
          `could not be read (${response.status})`,
          'Reload the page and save again.',
        );
      files.push({ path: entry.path, bytes: new Uint8Array(await response.arrayBuffer()) });
    }
    const zip = await this.#parts.packWorkspace(this.plan, files);
    return ok(new Blob([zip as BlobPart], { type: 'application/zip' }));
  }

  /** The one door for edits; refused in a second tab. */
  apply(change: Change): void {
    if (this.#editable()) this.document.apply(change);
  }

  undo(): void {
    if (!this.readOnly) this.document.undo();
  }

  redo(): void {
    if (!this.readOnly) this.document.redo();
  }

  setPlanting(id: string): void {
    this.session.plantingId = id;
    this.selection.clear();
    this.sites.clear();
    this.whyNot = null;
    this.autosave.touch();
    void this.update();
  }

  /** A place picked on the map. */
  pick(place: PlanPlace): void {
    const what = this.selection.picking;
    const planting = this.planting;
    this.selection.picking = null;
    if (what === 'candidate') return this.selection.put(place);
    if (what === null || planting === null) return;
    if (what === 'site') this.sites.put(this.sites.target, place);
    else {
      const note = what === 'start' ? 'Set the start of the day' : 'Set the end of the day';
      this.apply(
        editPlanting(this.plan, planting.id, note, { scouting: { ...planting.scouting, [what]: place } }),
      );
    }
  }

  /** Files let fall on the page: a workspace is opened, whatever else is for its layers. What was open stays kept. */
  async drop(files: readonly File[]): Promise<void> {
    const zips = files.filter((f) => /\.zip$/i.test(f.name));
    const are = await Promise.all(zips.map(holdsPlan));
    const workspace = zips.find((_, i) => are[i]);
    if (workspace) await this.openFile(workspace);
    const data = files.filter((f) => f !== workspace);
    if (data.length > 0) await this.bring(data);
  }

  bring(files: readonly File[]): Promise<void> {
    const bytes: Bytes[] = files.map((f) => ({ kind: 'blob', name: f.name, blob: f }));
    this.session.stage = 'layers';
    this.session.panelOpen = true;
    return this.intake.bring(bytes);
  }

  bringUrl(url: string): Promise<void> {
    const name = url.split(/[?#]/)[0].split('/').at(-1) || url;
    return this.intake.bring([{ kind: 'url', name, url }]);
  }

  /** False, and said, in a tab that only shows the workspace. */
  #editable(): boolean {
    if (this.readOnly) this.notices.note(ONLY_SHOWN);
    return !this.readOnly;
  }

  /** Opens layers, then brings the results up to date. Called after every change. */
  async update(): Promise<void> {
    void this.basemap.sync(this.plan);
    if (this.planting) this.surface.leave(this.plan, this.planting, String(this.layers.revision));
    await this.layers.sync(this.plan);
    const planting = this.planting;
    if (planting) {
      // Asked first, so that its short answer does not wait for the vetting of all candidates.
      void this.spread
        .refresh(this.plan, planting, String(this.layers.revision))
        .then(() => this.#followSurface());
      // At once as well: the sites are read while the spread is taken.
      void this.#followSurface();
      await this.results.refresh(this.plan, planting.id);
    } else {
      this.spread.clear();
      this.surface.clear();
      this.ranking.clear();
      this.results.clear();
    }
    await this.#drawPoints();
  }

  /** Cells that match by less are left clear on the map: as set, else as the planting's rule says. */
  get least(): number {
    const rule = this.planting?.rules.match;
    return this.session.surface.least ?? (rule && rule.strength !== 'off' ? rule.least : 0);
  }

  /** Where all variables of the match surface have a layer; null where nowhere. */
  get surfaceExtent(): Box | null {
    const boxes = this.surface.spec?.variables.map((v) => this.layers.view(v.layer)?.extent ?? null) ?? [];
    return boxes.reduce<Box | null>((a, b) => a && b && overlap(a, b), [-180, -90, 180, 90]);
  }

  setSurface(part: Partial<SessionData['surface']>): void {
    this.session.surface = { ...this.session.surface, ...part };
    this.autosave.touch();
    if (part.on !== undefined) void this.update();
  }

  /** Opens a screen in the panel's place, or goes back to the stage. */
  openPage(page: Page | null): void {
    this.selection.page = page;
    this.selection.zone = null;
    this.selection.sheetOpen = false;
    if (page) this.session.panelOpen = true;
    void this.update();
  }

  /** Surface and ranking of zones, while they are wanted. */
  async #followSurface(): Promise<void> {
    const { planting, surface } = this;
    const ranked = this.selection.page === 'where';
    // What is there for these inputs stays, for when it is wanted again.
    if (!planting || !(ranked || this.session.surface.on)) return;
    await surface.refresh(this.plan, planting, String(this.layers.revision), this.spread);
    if (ranked && surface.spec) await this.ranking.refresh(surface.spec, sitesOf(planting));
  }

  /** Makes surface and ranking again after trouble. */
  async retrySurface(): Promise<void> {
    this.surface.clear();
    this.ranking.clear();
    await this.#followSurface();
  }

  /** A picture of a raster layer for the map; null where there is none. Made in a worker of its own. */
  async tile(
    layer: string,
    style: 'relief' | 'values',
    scheme: 'light' | 'dark',
    z: number,
    x: number,
    y: number,
    signal: AbortSignal,
  ): Promise<ImageBitmap | null> {
    const running = this.#parts.tiles.run('tile', { layer, style, scheme, z, x, y });
    signal.addEventListener('abort', () => running.cancel(), { once: true });
    const result = await running.result;
    if (!result.ok) this.notices.fail(result.failure);
    return result.ok ? result.value : null;
  }

  /** Draws only these candidates, whatever their standing, until others are named; null: all. */
  async drawOnly(rows: readonly number[] | null): Promise<void> {
    if (rows === this.#only) return;
    this.#only = rows;
    this.#pointsOf = null;
    await this.#drawPoints();
  }

  /** Points follow the vetting on screen; without one, all candidates are drawn as unjudged. */
  async #drawPoints(): Promise<void> {
    const candidates = this.layers.candidates;
    if (!candidates) {
      this.points = null;
      this.#pointsOf = null;
      return;
    }
    const vetting = this.results.vetting;
    const source = vetting ?? candidates;
    if (this.#pointsOf === source) return;
    this.#pointsOf = source;
    const only = this.#only;
    const fits = vetting !== null && vetting.n === candidates.n;
    const own = this.planting ? speciesIndex(this.planting.species) : -1;
    const standing = Uint8Array.from({ length: candidates.n }, (_, i) =>
      candidates.species[i] !== own ? OTHER_SPECIES : fits ? vetting.standing[i] : 1,
    );
    if (only) {
      const all = standing.slice();
      standing.fill(NOT_DRAWN);
      for (const row of only) if (row < standing.length) standing[row] = all[row];
    }
    const result = await this.#parts.tiles.run('points', {
      lon: candidates.lon,
      lat: candidates.lat,
      standing,
    }).result;
    if (this.#pointsOf !== source || this.#only !== only || !result.ok) return;
    this.points = result.value;
    this.pointsNarrowed = only !== null;
  }

  async askWhyNot(row: number): Promise<void> {
    const { vetting, choice } = this.results;
    const candidates = this.layers.candidates;
    const planting = this.planting;
    if (!vetting || !choice || !candidates || !planting) return;
    const key = this.results.choiceKey;
    this.whyNot = { row, key, answer: null };
    const problem = parentProblem(planting, vetting, candidates);
    const input: Jobs['whyNot']['input'] = { problem, set: choice.set, row };
    const result = await this.#parts.solver.run('whyNot', input).result;
    if (this.whyNot?.row !== row || this.whyNot.key !== key) return;
    if (result.ok) this.whyNot = { row, key, answer: result.value };
    else {
      this.whyNot = null;
      this.notices.fail(result.failure);
    }
  }

  #shownAtFirst(plan: Plan): string[] {
    return plan.layers.filter((l) => SHOWN_AT_FIRST.includes(l.definition)).map((l) => l.id);
  }

  async #show(
    plan: Plan,
    base: string | null,
    files: ReadonlyMap<string, Blob>,
    session: unknown,
    id: string,
    kept: Iterable<string>,
  ): Promise<void> {
    this.phase = 'opening';
    this.results.clear();
    this.spread.clear();
    this.pattern.clear();
    this.surface.clear();
    this.ranking.clear();
    this.weights.clear();
    this.selection.clear();
    this.selection.page = null;
    this.whyNot = null;
    this.points = null;
    this.pointsNarrowed = false;
    this.#pointsOf = null;
    this.intake.clear();
    this.photos.clear();
    this.sites.clear();
    this.look.clear();
    this.basemap.reset();
    await this.layers.reset(base, files);
    this.session.restore(session);
    this.document.replace(plan);
    if (!findPlanting(plan, this.session.plantingId)) this.session.plantingId = plan.plantings[0]?.id ?? '';
    await this.autosave.start(id, kept);
    this.phase = 'ready';
    this.opened++;
    const lacking = plan.layers.filter((l) => this.layers.lacksFile(l)).map((l) => l.title ?? l.path);
    if (lacking.length > 0)
      this.notices.note(
        `${lacking.join(', ')}: ${lacking.length === 1 ? 'its file is' : 'their files are'} not in this workspace. Drop ${lacking.length === 1 ? 'it' : 'them'} on this page, whatever the name is now.`,
      );
    // Not awaited: another workspace may be opened while this one is still being vetted.
    void this.update();
  }
}

/** A zip lists what it holds at its end (PKWARE APPNOTE, 4.3.12): a workspace has a plan.json in that list. */
async function holdsPlan(zip: File): Promise<boolean> {
  const end = new Uint8Array(await zip.slice(Math.max(0, zip.size - LIST_BYTES)).arrayBuffer());
  return new TextDecoder('latin1').decode(end).includes('plan.json');
}
const LIST_BYTES = 1_000_000;

/** Where the work is: the site of the planting, else what is open; null where nothing is. */
function whereabouts(planting: Planting | null, layers: Layers): Box | null {
  if (planting) {
    const { lon, lat } = planting.site;
    return [lon, lat, lon, lat];
  }
  const open = Object.values(layers.states).find((s) => s.kind === 'open' && s.view.extent !== null);
  return open?.kind === 'open' ? open.view.extent : null;
}

const speciesIndex = (name: string): number => resolveSpecies(name).species;

const KEY = Symbol('kinstand');
export const provideKinstand = (k: Kinstand): Kinstand => setContext(KEY, k);
export function getKinstand(): Kinstand {
  const k = getContext<Kinstand | undefined>(KEY);
  if (!k) throw new Error('no Kinstand above this component');
  return k;
}
