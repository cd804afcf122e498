/** Edits by hand on screen: results keep their trees when rows change, photos find theirs. */
import { describe, expect, it } from 'vitest';
import { ok } from '../../src/domain/base/result.ts';
import { changeCandidates, removeCandidates, setApart } from '../../src/domain/plan/changeCandidates.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import type { Change } from '../../src/domain/plan/change.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import type { ChoiceOutput } from '../../src/jobs/protocol.ts';
import { followChoice, rowMap } from '../../src/state/followRows.ts';
import type { IntakeItem } from '../../src/state/intake.svelte.ts';
import { Layers } from '../../src/state/layers.svelte.ts';
import { Photos } from '../../src/state/photos.svelte.ts';
import { Results } from '../../src/state/results.svelte.ts';
import { Selection } from '../../src/state/selection.svelte.ts';
import { make } from '../domain/candidates/make.ts';
import { fakeJobs } from './fakeWorker.ts';

const candidates = make([{ id: 'A' }, { id: 'B' }, { id: 'C' }, { id: 'D' }]);
const start = (): Plan => ({
  ...freshPlan('p'),
  plantings: [freshPlanting('p', 'P', 'Quercus alba', { lon: -84, lat: 38, name: '' }, [])],
  layers: [
    {
      id: 'c',
      definition: 'candidates',
      path: 'c.csv',
      band: 1,
      period: '',
      source: '',
      date: '',
      licence: '',
    },
  ],
});
const choiceOf = (members: number[]): ChoiceOutput => ({
  set: {
    status: 'optimal',
    members,
    total: 1,
    bound: 1,
    largest: 2,
    largestBound: 2,
    bottlenecks: [],
    conflictingLocks: [],
    nodes: 0,
  },
  reserves: { reserves: [3], standIns: [] },
  heldBack: [],
});

describe('a choice whose trees have other rows', () => {
  it('follows them, and lets go of those that are gone', () => {
    const to = rowMap(['A', 'B', 'C', 'D'], ['A', 'C', 'E', 'D']);
    const followed = followChoice(choiceOf([0, 1, 2]), to);
    expect(followed.set.members).toEqual([0, 1]);
    expect(followed.reserves.reserves).toEqual([3]);
  });
});

/** Layers and results over a worker that vets when the test says so. */
async function screen() {
  const waiting: Array<() => void> = [];
  const jobs = fakeJobs({
    open: ({ entry }) =>
      ok({
        id: entry.id,
        file: 'c.csv',
        format: 'CSV',
        crs: null,
        extent: null,
        count: 4,
        notes: [],
        geojson: null,
        raster: null,
      } as never),
    candidates: () => ok({ candidates, notes: [] }),
    vet: async ({ key, plan }) => {
      await new Promise<void>((go) => waiting.push(go));
      const n = 4 - plan.candidates.removed.length;
      return ok({
        key,
        plantingId: 'p',
        n,
        weight: new Float64Array(n).fill(1),
        standing: new Uint8Array(n),
        overridden: new Uint8Array(n),
        findings: { rules: [] },
      } as unknown as Vetting);
    },
    choose: () => ok(choiceOf([2])),
    route: () => ok({ stops: [] } as never),
  });
  const layers = new Layers(jobs, jobs);
  layers.keep('c.csv', new Blob(['x']));
  const results = new Results(jobs, jobs, layers);
  const selection = new Selection();
  layers.holdsRows = () => results.vetting !== null;
  layers.onShow = (from, to) => {
    if (from && to) selection.follow(rowMap(from.id, to.id));
  };
  let plan = start();
  const update = async (): Promise<void> => {
    await layers.sync(plan);
    void results.refresh(plan, 'p');
  };
  const apply = async (change: (p: Plan) => Change): Promise<void> => {
    plan = change(plan).after;
    await update();
  };
  const turn = (): Promise<void> => new Promise((r) => setTimeout(r, 5));
  const answer = async (): Promise<void> => {
    while (waiting.length === 0) await turn();
    waiting.shift()?.();
    await turn();
    await turn();
  };
  await update();
  await answer();
  return { layers, results, selection, apply, answer };
}

describe('the screen while candidates are edited', () => {
  it('shows a changed value at once', async () => {
    const { layers, results, apply } = await screen();
    expect(results.vetting?.n).toBe(4);
    await apply((p) => changeCandidates(p, [{ id: 'B', fields: { dbh: '44' } }]));
    expect(layers.candidates?.dbh[1]).toBe(44);
  });

  it('keeps rows and results together when a tree is removed: both change when the new vetting is there', async () => {
    const { layers, results, selection, apply, answer } = await screen();
    expect(results.choice?.set.members).toEqual([2]);
    selection.select(2);
    await apply((p) => removeCandidates(p, ['A']));
    expect(layers.edited?.id).toEqual(['B', 'C', 'D']);
    expect(layers.candidates?.id).toEqual(['A', 'B', 'C', 'D']);
    expect(results.vetting?.n).toBe(4);
    await answer();
    expect(layers.candidates?.id).toEqual(['B', 'C', 'D']);
    expect(results.vetting?.n).toBe(3);
    // C was selected, and still is.
    expect(selection.row).toBe(1);
  });

  it('does not take a vetting of other candidates for that of the newest', async () => {
    const { layers, results, apply, answer } = await screen();
    await apply((p) => removeCandidates(p, ['A']));
    await apply((p) => removeCandidates(p, ['D']));
    await answer();
    expect(layers.candidates?.n).toBe(results.vetting?.n);
    await answer();
    expect(layers.candidates?.id).toEqual(['B', 'C']);
    expect(results.vetting?.n).toBe(2);
  });

  it('lets go of a selected tree that is removed', async () => {
    const { selection, apply, answer } = await screen();
    selection.select(0, true);
    await apply((p) => removeCandidates(p, ['A']));
    await answer();
    expect([selection.row, selection.sheetOpen]).toEqual([null, false]);
  });

  it('reads an edit that changes no row without waiting', async () => {
    const { layers, apply } = await screen();
    await apply((p) => setApart(p, ['A', 'B']));
    expect(layers.candidates).toBe(layers.edited);
  });
});

/** As the reader of photos gives one, after the intake has looked into it. */
const photo = (name: string, lon: number, lat: number, accuracy = ''): IntakeItem =>
  ({
    id: 1,
    bytes: { kind: 'blob', name, blob: new Blob([name]) },
    inspection: {
      format: 'Photo',
      sample: {
        columns: ['file', 'date', 'accuracy', 'direction'],
        rows: [[name, '2026-02-14T10:22:05', accuracy, '']],
        lines: [1],
        places: [[lon, lat]],
      },
    },
  }) as unknown as IntakeItem;

function photos() {
  let plan = start();
  const kept = new Map<string, Blob>();
  const made = new Photos({
    plan: () => plan,
    candidates: () => candidates,
    editable: () => true,
    apply: (change) => (plan = change.after),
    keep: (path, blob) => kept.set(path, blob),
    paths: () => kept.keys(),
    inspect: () =>
      Promise.resolve({
        ok: false,
        failure: { code: 'content', where: 'x.jpg', what: 'is a picture that holds no position', todo: '' },
      }),
    fail: () => undefined,
  });
  return { made, kept, plan: () => plan };
}

describe('photos', () => {
  it('go to the nearest candidate within reach, else become one; several of one tree become one', () => {
    const { made, kept, plan } = photos();
    // A stands at -85; 0.0001 degrees of longitude are 8.8 m here.
    made.bring([
      photo('a.jpg', -85.0001, 38),
      photo('b.jpg', -85.002, 38, '6'),
      photo('b.jpg', -85.0021, 38),
    ]);
    expect([...made.fates.values()]).toEqual([
      { kind: 'to', id: 'A' },
      { kind: 'new' },
      { kind: 'with', photo: 2 },
    ]);
    made.accept();
    expect(plan().photos.map((p) => [p.path, p.candidate])).toEqual([
      ['photos/a.jpg', 'A'],
      ['photos/b.jpg', 'H1'],
      ['photos/b 2.jpg', 'H1'],
    ]);
    expect(plan().candidates.added).toEqual([
      { id: 'H1', lat: '38', lon: '-85.002', accuracy: '6', date: '2026-02-14' },
    ]);
    expect([...kept.keys()]).toEqual(['photos/a.jpg', 'photos/b.jpg', 'photos/b 2.jpg']);
    expect(made.waiting).toEqual([]);
  });

  it('follow another distance, and what the user chooses', () => {
    const { made, plan } = photos();
    made.bring([photo('a.jpg', -85.0001, 38)]);
    made.reach = 5;
    expect([...made.fates.values()]).toEqual([{ kind: 'new' }]);
    made.choose(1, { kind: 'to', id: 'C' });
    made.accept();
    expect(plan().photos[0].candidate).toBe('C');
    expect(plan().candidates.added).toEqual([]);
  });

  it('without a position take that of the tree they are given to; other files are refused', async () => {
    const { made, plan } = photos();
    await made.attach([new File(['x'], 'x.jpg'), new File(['x'], 'notes.txt')], 'B', {
      lon: -84.99,
      lat: 38,
    });
    expect(plan().photos).toEqual([
      { path: 'photos/x.jpg', lon: -84.99, lat: 38, candidate: 'B', date: '', note: '' },
    ]);
  });
});
