/**
 * Keeps the workspace in this browser while it is edited. Nothing is written before a load has ended; one transaction a
 * save; after a failure everything stays in memory, the screen says "not saved", and the next change tries again.
 * One tab holds a workspace (a Web Lock); a second one opens it read-only and says so.
 */
import type { Failure } from '../domain/base/result.ts';
import type { Store, WorkspaceRecord } from '../storage/store.ts';
import type { Layers } from './layers.svelte.ts';
import type { PlanDocument } from './document.svelte.ts';
import type { Session } from './session.svelte.ts';

const WAIT_MS = 400;

export type SaveState = 'saved' | 'waiting' | 'saving' | 'not saved' | 'read-only' | 'not kept';

export class Autosave {
  state = $state<SaveState>('saved');
  failure = $state.raw<Failure | null>(null);

  #store: Store | null;
  #document: PlanDocument;
  #session: Session;
  #layers: Layers;
  #now: () => string;
  #id: string | null = null;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #saving: Promise<void> = Promise.resolve();
  /** Paths whose content is in the store already. */
  #kept = new Set<string>();
  #release: (() => void) | null = null;

  constructor(
    store: Store | null,
    document: PlanDocument,
    session: Session,
    layers: Layers,
    now: () => string,
  ) {
    this.#store = store;
    this.#document = document;
    this.#session = session;
    this.#layers = layers;
    this.#now = now;
    if (!store) this.state = 'not kept';
  }

  get id(): string | null {
    return this.#id;
  }

  /** From now on changes are kept under this id. `kept`: paths already in the store. */
  async start(id: string, kept: Iterable<string>): Promise<void> {
    this.#release?.();
    this.#release = null;
    this.#id = id;
    this.#kept = new Set(kept);
    if (!this.#store) return;
    this.state = (await this.#hold(id)) ? 'saved' : 'read-only';
  }

  /** Something changed: save soon. */
  touch(): void {
    if (!this.#store || this.#id === null || this.state === 'read-only') return;
    this.state = 'waiting';
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.flush(), WAIT_MS);
  }

  /** Saves now; resolves when written or refused. */
  flush(): Promise<void> {
    if (this.#timer) clearTimeout(this.#timer);
    this.#timer = null;
    if (this.state !== 'waiting' && this.state !== 'not saved') return this.#saving;
    this.#saving = this.#saving.then(() => this.#save());
    return this.#saving;
  }

  async #save(): Promise<void> {
    const id = this.#id;
    const store = this.#store;
    if (!store || id === null) return;
    this.state = 'saving';
    const plan = this.#document.plan;
    const record: WorkspaceRecord = {
      id,
      title: plan.title,
      savedAt: this.#now(),
      plan,
      session: this.#session.data(),
      base: this.#layers.base,
    };
    const add = [...this.#layers.files].filter(([path]) => !this.#kept.has(path));
    const result = await store.save(
      record,
      add.map(([path, blob]) => ({ workspace: id, path, blob })),
      [],
    );
    if (result.ok) {
      for (const [path] of add) this.#kept.add(path);
      this.failure = null;
      // A change that came while writing has set a timer of its own.
      if (this.#timer === null) this.state = 'saved';
    } else {
      this.failure = result.failure;
      this.state = 'not saved';
    }
  }

  /** True when this tab now holds the workspace; where the browser has no locks, every tab does. */
  async #hold(id: string): Promise<boolean> {
    // Absent outside secure contexts, whatever the types say.
    const locks = navigator.locks as LockManager | null | undefined;
    if (!locks) return true;
    return new Promise<boolean>((resolve) => {
      void locks.request(`kinstand:${id}`, { ifAvailable: true }, (lock) => {
        if (!lock) {
          resolve(false);
          return;
        }
        resolve(true);
        return new Promise<void>((release) => {
          this.#release = release;
        });
      });
    });
  }
}
