import { describe, expect, it, vi } from 'vitest';
import { fail, ok } from '../../src/domain/base/result.ts';
import { setTitle } from '../../src/domain/plan/change.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import { JobClient } from '../../src/jobs/client.ts';
import { Autosave } from '../../src/state/autosave.svelte.ts';
import { PlanDocument } from '../../src/state/document.svelte.ts';
import { Layers } from '../../src/state/layers.svelte.ts';
import { Session } from '../../src/state/session.svelte.ts';
import type { FileRecord, Store, WorkspaceRecord } from '../../src/storage/store.ts';

class FakeStore implements Store {
  saves: Array<{ record: WorkspaceRecord; add: readonly FileRecord[] }> = [];
  full = false;
  list = () => Promise.resolve(ok([]));
  current = () => Promise.resolve(ok(null));
  load = () => Promise.resolve(ok(null));
  remove = () => Promise.resolve(ok(null));
  recall = () => Promise.resolve(ok(null));
  remember = () => Promise.resolve(ok(null));
  save(record: WorkspaceRecord, add: readonly FileRecord[]) {
    if (this.full)
      return Promise.resolve(fail('storage', 'This browser', 'has no room left', 'Save a file.'));
    this.saves.push({ record, add });
    return Promise.resolve(ok(null));
  }
}

function setUp() {
  const store = new FakeStore();
  const client = new JobClient(() => {
    throw new Error('no worker is needed here');
  });
  const document = new PlanDocument();
  document.replace(freshPlan('First'));
  const layers = new Layers(client, client);
  const autosave = new Autosave(store, document, new Session(), layers, () => '2026-11-25T00:00:00Z');
  return { store, document, layers, autosave };
}

describe('autosave', () => {
  it('writes nothing before a load has ended', async () => {
    const { store, autosave } = setUp();
    autosave.touch();
    await autosave.flush();
    expect(store.saves).toHaveLength(0);
  });

  it('joins quick changes into one save', async () => {
    vi.useFakeTimers();
    const { store, document, autosave } = setUp();
    await autosave.start('w', []);
    document.apply(setTitle(document.plan, 'A'));
    autosave.touch();
    document.apply(setTitle(document.plan, 'B'));
    autosave.touch();
    await vi.advanceTimersByTimeAsync(1000);
    expect(store.saves.map((s) => s.record.title)).toEqual(['B']);
    expect(autosave.state).toBe('saved');
    vi.useRealTimers();
  });

  it('says when it could not save, keeps everything, and tries again at the next change', async () => {
    const { store, document, autosave } = setUp();
    await autosave.start('w', []);
    store.full = true;
    document.apply(setTitle(document.plan, 'A'));
    autosave.touch();
    await autosave.flush();
    expect(autosave.state).toBe('not saved');
    expect(autosave.failure?.todo).toBe('Save a file.');
    expect(document.plan.title).toBe('A');
    store.full = false;
    autosave.touch();
    await autosave.flush();
    expect(autosave.state).toBe('saved');
    expect(store.saves.at(-1)?.record.title).toBe('A');
  });

  it('writes each file once', async () => {
    const { store, layers, autosave } = setUp();
    await autosave.start('w', []);
    layers.keep('a.csv', new Blob(['id']));
    autosave.touch();
    await autosave.flush();
    autosave.touch();
    await autosave.flush();
    expect(store.saves.map((s) => s.add.length)).toEqual([1, 0]);
  });
});
