/** Puts the app together: workers, storage, state, screen. */
import { mount } from 'svelte';
import { fail, ok, type Result } from '../domain/base/result.ts';
import { JobClient } from '../jobs/client.ts';
import { Kinstand } from '../state/kinstand.svelte.ts';
import { openStore } from '../storage/store.ts';
import App from './App.svelte';
import { exporterOf } from './exporterOf.ts';

const worker = (name: string): JobClient =>
  new JobClient(() => new Worker(new URL('../jobs/worker.ts', import.meta.url), { type: 'module', name }));

async function fetchJson(url: string): Promise<Result<unknown>> {
  const name = url.split('/').at(-1) ?? url;
  try {
    const response = await fetch(url);
    if (!response.ok)
      return fail('unreadable', name, `could not be read (answer ${response.status})`, 'Reload the page.');
    return ok((await response.json()) as unknown);
  } catch (error) {
    return fail(
      'unreadable',
      name,
      error instanceof Error ? error.message : String(error),
      'Reload the page.',
    );
  }
}

async function start(): Promise<void> {
  const target = document.getElementById('app');
  if (!target) throw new Error('no #app');
  const store = await openStore();
  const kinstand = new Kinstand({
    data: worker('data'),
    solver: worker('solver'),
    tiles: worker('tiles'),
    store: store.ok ? store.value : null,
    now: () => new Date().toISOString(),
    newId: () => crypto.randomUUID(),
    demo: new URL('demo-data/', document.baseURI).href,
    fetchJson,
    exporter: exporterOf,
    // Zip code is needed only when a workspace file is opened or saved.
    packWorkspace: async (plan, files) =>
      (await import('../io/write/workspace.ts')).packWorkspace(plan, files),
    unpackWorkspace: async (bytes, name) =>
      (await import('../io/read/workspace.ts')).unpackWorkspace(bytes, name),
  });
  if (!store.ok) kinstand.notices.fail(store.failure);
  mount(App, { target, props: { kinstand } });
  // A closed lid or a hidden tab: write what is waiting.
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') void kinstand.autosave.flush();
  });
  await kinstand.start();
}

void start();
