/**
 * Workspaces kept in this browser: IndexedDB, one record a workspace and one a file. Writes of one save are one transaction,
 * so a closed lid leaves the last whole save. Nothing is written before the load has ended (the caller holds that).
 */
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import { fail, ok, type Failure, type Result } from '../domain/base/result.ts';

/** Version of the records; a higher one in the browser than here is refused, a lower one is migrated step by step. */
export const STORE_VERSION = 1;

export interface WorkspaceRecord {
  readonly id: string;
  readonly title: string;
  readonly savedAt: string;
  readonly plan: unknown;
  readonly session: unknown;
  /** Address that paths of the plan are read from when no file is kept here (the demo workspace), else null. */
  readonly base: string | null;
}

export interface FileRecord {
  readonly workspace: string;
  readonly path: string;
  readonly blob: Blob;
}

interface Shape extends DBSchema {
  workspaces: { key: string; value: WorkspaceRecord };
  files: { key: [string, string]; value: FileRecord; indexes: { workspace: string } };
  settings: { key: string; value: unknown };
}

export interface Store {
  list(): Promise<Result<WorkspaceRecord[]>>;
  current(): Promise<Result<string | null>>;
  load(id: string): Promise<Result<{ record: WorkspaceRecord; files: FileRecord[] } | null>>;
  /** One transaction: the record, files to add, paths to drop, and that it is now the current one. */
  save(record: WorkspaceRecord, add: readonly FileRecord[], drop: readonly string[]): Promise<Result<null>>;
  remove(id: string): Promise<Result<null>>;
  /** Small things that hold for every workspace of this browser, by name; null where nothing is kept. */
  recall(name: string): Promise<Result<unknown>>;
  remember(name: string, value: unknown): Promise<Result<null>>;
}

export async function openStore(name = 'kinstand'): Promise<Result<Store>> {
  try {
    const db = await openDB<Shape>(name, STORE_VERSION, {
      upgrade(d, from) {
        if (from < 1) {
          d.createObjectStore('workspaces', { keyPath: 'id' });
          d.createObjectStore('files', { keyPath: ['workspace', 'path'] }).createIndex(
            'workspace',
            'workspace',
          );
          d.createObjectStore('settings');
        }
      },
      // Another tab wants to upgrade: let go, it will ask this one to reload.
      blocking: () => db.close(),
    });
    return ok(storeOver(db));
  } catch (error) {
    if (error instanceof DOMException && error.name === 'VersionError') {
      return fail(
        'newer',
        'Kept workspaces',
        'were written by a newer version of Kinstand in this browser',
        'Reload the page to get the newer version.',
      );
    }
    return refused(error);
  }
}

function refused(error: unknown): { ok: false; failure: Failure } {
  const full = error instanceof DOMException && error.name === 'QuotaExceededError';
  return fail(
    'storage',
    'This browser',
    full
      ? 'has no room left for the workspace'
      : `did not keep the workspace (${error instanceof Error ? error.message : String(error)})`,
    'Save the workspace as a file now; everything is still on screen.',
  );
}

async function guarded<T>(work: () => Promise<T>): Promise<Result<T>> {
  try {
    return ok(await work());
  } catch (error) {
    return refused(error);
  }
}

function storeOver(db: IDBPDatabase<Shape>): Store {
  return {
    list: () => guarded(() => db.getAll('workspaces')),
    current: () => guarded(async () => ((await db.get('settings', 'current')) as string | undefined) ?? null),
    load: (id) =>
      guarded(async () => {
        const record = await db.get('workspaces', id);
        if (!record) return null;
        return { record, files: await db.getAllFromIndex('files', 'workspace', id) };
      }),
    save: (record, add, drop) =>
      guarded(async () => {
        const tx = db.transaction(['workspaces', 'files', 'settings'], 'readwrite');
        void tx.objectStore('workspaces').put(record);
        for (const path of drop) void tx.objectStore('files').delete([record.id, path]);
        for (const file of add) void tx.objectStore('files').put(file);
        void tx.objectStore('settings').put(record.id, 'current');
        await tx.done;
        return null;
      }),
    remove: (id) =>
      guarded(async () => {
        const tx = db.transaction(['workspaces', 'files'], 'readwrite');
        void tx.objectStore('workspaces').delete(id);
        let cursor = await tx.objectStore('files').index('workspace').openKeyCursor(id);
        while (cursor) {
          void tx.objectStore('files').delete(cursor.primaryKey);
          cursor = await cursor.continue();
        }
        await tx.done;
        return null;
      }),
    recall: (name) => guarded(async () => (await db.get('settings', `own:${name}`)) ?? null),
    remember: (name, value) =>
      guarded(async () => {
        await db.put('settings', value, `own:${name}`);
        return null;
      }),
  };
}
