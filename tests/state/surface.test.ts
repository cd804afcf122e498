/** The match surface on screen: what it is drawn with follows every edit, and nothing older is ever drawn. */
import { describe, expect, it } from 'vitest';
import { fail, ok, type Failure, type Result } from '../../src/domain/base/result.ts';
import { editPlanting } from '../../src/domain/plan/change.ts';
import { moveSite } from '../../src/domain/plan/changeSites.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import type { LayerEntry, Plan, Planting } from '../../src/domain/plan/schema.ts';
import type {
  SiteReading,
  SpreadView,
  SurfaceSpec,
  ZoneMatch,
} from '../../src/domain/vetting/match/types.ts';
import type { Jobs } from '../../src/jobs/protocol.ts';
import { Ranking } from '../../src/state/ranking.svelte.ts';
import { Session } from '../../src/state/session.svelte.ts';
import { SurfaceState } from '../../src/state/surface.svelte.ts';
import { fakeJobs } from './fakeWorker.ts';

const layer = (id: string, definition: string, period = ''): LayerEntry => ({
  id,
  definition,
  path: `${id}.tif`,
  band: 1,
  period,
  source: '',
  date: '',
  licence: '',
});
const site = { lon: -82, lat: 39, name: 'Pasture' };
const start = (): Plan => ({
  ...freshPlan('p'),
  layers: [
    layer('warm', 'mean-annual-temperature', '1991-2020'),
    layer('rain', 'annual-precipitation', '1991-2020'),
    layer('later', 'mean-annual-temperature', '2041-2070'),
  ],
  plantings: [freshPlanting('p', 'P', 'Quercus alba', site, ['warm', 'rain'])],
});
const reading = (...values: number[]): SiteReading => ({
  values,
  low: values,
  high: values,
  now: values,
  cells: 0,
});
/** Of two variables with standard deviations 1 and 2 that go their own ways. */
const spreadView = (ids: readonly string[] = ['warm', 'rain']): SpreadView =>
  ({
    variables: ids.map((id) => ({ id })),
    spread: {
      covariance: Float64Array.of(1, 0, 0, 4),
      variables: ids,
      from: 'within 6 zones',
      basis: 'zones',
    },
  }) as unknown as SpreadView;

interface Spread {
  value: SpreadView | null;
  failure: Failure | null;
  running: boolean;
}

function screen(
  answer: (input: Jobs['atSites']['input']) => Result<SiteReading[]> = () => ok([reading(10, 900)]),
) {
  const asked: Array<Jobs['atSites']['input']> = [];
  const waiting: Array<() => void> = [];
  const tiles: Array<Jobs['surfaceTile']['input']> = [];
  let tileAnswer: Result<ImageBitmap | null> = ok(null);
  let stopped = 0;
  const jobs = fakeJobs({
    atSites: async (input, stop) => {
      asked.push(input);
      void stop.then(() => stopped++);
      await new Promise<void>((go) => waiting.push(go));
      return answer(input);
    },
    surfaceTile: (input) => {
      tiles.push(input);
      return tileAnswer;
    },
  });
  const surface = new SurfaceState(jobs);
  const spread: Spread = { value: spreadView(), failure: null, running: false };
  let plan = start();
  const planting = (): Planting => plan.plantings[0];
  return {
    surface,
    spread,
    asked,
    waiting,
    tiles,
    get stopped() {
      return stopped;
    },
    answerTiles: (a: Result<ImageBitmap | null>) => (tileAnswer = a),
    edit: (to: (p: Plan) => Plan) => (plan = to(plan)),
    refresh: (data = '1') => surface.refresh(plan, planting(), data, spread),
    /** Lets the oldest question to the worker have its answer. */
    async answer(): Promise<void> {
      waiting.shift()?.();
      await turn();
    },
  };
}
const turn = (): Promise<void> => new Promise((go) => setTimeout(go, 2));
const edited = (part: Partial<Planting>) => (p: Plan) => editPlanting(p, 'p', '', part).after;
const moved = (lon: number) => (p: Plan) => moveSite(p, 'p', 0, { ...site, lon }).after;

describe('what the match surface is drawn with', () => {
  it('is made of sites and spread alone: no candidate is asked about', async () => {
    const s = screen();
    const done = s.refresh();
    expect(s.surface.running).toBe(true);
    await s.answer();
    await done;
    const { spec } = s.surface;
    expect(spec?.variables.map((v) => v.layer)).toEqual(['warm', 'rain']);
    expect(spec?.kept).toBe(2);
    // |W x|^2 = x' (2 S)^-1 x with S = diag(1, 4); rain is compared by its logarithm: 10^2 / 2 + (ln 900)^2 / 8.
    const d2 = spec?.sites[0].reduce((sum, w) => sum + w * w, 0) ?? NaN;
    expect(d2).toBeCloseTo(100 / 2 + Math.log(900) ** 2 / 8, 9);
    expect(s.surface.running).toBe(false);
    expect(s.surface.failure).toBeNull();
  });

  it('has a key of its own after every edit that it hangs on, and asks the sites anew only where their values change', async () => {
    const s = screen();
    const keys = new Set<string>();
    const after = async (change: (p: Plan) => Plan, questions: number, data = '1'): Promise<void> => {
      const before = s.asked.length;
      s.edit(change);
      const done = s.refresh(data);
      expect(s.surface.spec, 'the old one is gone at once').toBeNull();
      while (s.waiting.length > 0) await s.answer();
      await done;
      expect(s.asked.length - before).toBe(questions);
      expect(s.surface.spec).not.toBeNull();
      keys.add(s.surface.spec?.key ?? '');
    };
    await after((p) => p, 1);
    await after(moved(-83), 1);
    await after(edited({ moreSites: [{ ...site, lon: -81 }] }), 1);
    await after(edited({ transforms: { rain: 'identity' } }), 0);
    await after(edited({ spread: { kind: 'circle', km: 30 } }), 0);
    await after((p) => p, 1, '2');
    s.spread.value = spreadView(['warm']);
    (s.spread.value.spread as { covariance: Float64Array }).covariance = Float64Array.of(1);
    await after(edited({ variables: ['warm'] }), 1, '2');
    await after(edited({ sitePeriod: '2041-2070' }), 1, '2');
    expect(keys.size).toBe(8);
  });

  it('stays as it is where an edit means nothing to it', async () => {
    const s = screen();
    void s.refresh();
    await s.answer();
    const before = s.surface.spec;
    s.edit(edited({ title: 'Another name', seedlings: 5, site: { ...site, name: 'Meadow' } }));
    await s.refresh();
    expect(s.surface.spec).toBe(before);
    expect(s.asked).toHaveLength(1);
  });

  it('drops the answer for an older place of the site', async () => {
    const s = screen(({ planting }) => ok([reading(planting.site.lon, 1)]));
    void s.refresh();
    s.edit(moved(-70));
    void s.refresh();
    expect(s.asked.map((a) => a.planting.site.lon)).toEqual([-82, -70]);
    await turn();
    expect(s.stopped, 'the older question is called off').toBe(1);
    await s.answer();
    expect(s.surface.spec, 'the older answer').toBeNull();
    await s.answer();
    expect(s.surface.spec?.sites[0].reduce((d, w) => d + w * w, 0)).toBeCloseTo(4900 / 2, 9);
  });

  it('waits for the spread, with the sites read meanwhile', async () => {
    const s = screen();
    s.spread.running = true;
    s.spread.value = null;
    void s.refresh();
    await s.answer();
    expect(s.surface.spec).toBeNull();
    expect(s.surface.failure).toBeNull();
    s.spread.running = false;
    s.spread.value = spreadView();
    await s.refresh();
    expect(s.surface.spec).not.toBeNull();
    expect(s.asked).toHaveLength(1);
  });

  it('is not made with the spread of earlier variables', async () => {
    const s = screen();
    void s.refresh();
    await s.answer();
    s.edit(edited({ transforms: { rain: 'identity' } }));
    // Asked for anew: what it holds until then belongs to the inputs before.
    s.spread.running = true;
    await s.refresh();
    expect(s.surface.spec).toBeNull();
    expect(s.surface.running).toBe(true);
  });

  it('says why there is none', async () => {
    const s = screen(() => fail('unreadable', 'Rain', 'is cut off', 'Bring it again.'));
    void s.refresh();
    await s.answer();
    expect(s.surface.failure?.what).toBe('is cut off');

    const none = screen();
    none.edit(edited({ variables: [] }));
    await none.refresh();
    expect(none.surface.failure?.what).toBe('no variable is chosen');
    expect(none.asked).toHaveLength(0);

    const outside = screen(() => ok([reading(10, NaN)]));
    void outside.refresh();
    await outside.answer();
    expect(outside.surface.failure).toMatchObject({ where: 'Pasture' });
    expect(outside.surface.failure?.what).toMatch(/has no value of .*precipitation/i);

    const dry = screen(() => ok([reading(10, 0)]));
    void dry.refresh();
    await dry.answer();
    expect(dry.surface.failure?.what).toMatch(/no logarithm/);

    const unspread = screen();
    unspread.spread.value = null;
    unspread.spread.failure = fail('content', 'Spread', 'is nowhere', '').failure;
    void unspread.refresh();
    await unspread.answer();
    expect(unspread.surface.failure?.what).toBe('is nowhere');
  });

  it('is forgotten with the planting: an answer that comes later is dropped', async () => {
    const s = screen();
    void s.refresh();
    s.surface.clear();
    await s.answer();
    expect(s.surface.spec).toBeNull();
    expect(s.surface.running).toBe(false);
  });
});

describe('how the surface is looked at', () => {
  it('is kept with the workspace, and what cannot be read falls back to a surface that is off', () => {
    const session = new Session();
    expect(session.surface).toMatchObject({ on: false, least: null });
    session.surface = { on: true, least: 0.125, opacity: 0.4 };
    const saved: unknown = JSON.parse(JSON.stringify(session.data()));
    const later = new Session();
    later.restore(saved);
    expect(later.surface).toEqual({ on: true, least: 0.125, opacity: 0.4 });
    later.restore({ ...(saved as object), surface: { on: true, least: 7 } });
    expect(later.surface.on).toBe(false);
    // Workspaces of before.
    later.restore({ stage: 'planting' });
    expect([later.stage, later.surface.on]).toEqual(['planting', false]);
  });
});

describe('tiles of the match surface', () => {
  const at = { scheme: 'light', least: 0.05, z: 8, x: 1, y: 2 } as const;
  it('are made for the present key alone', async () => {
    const s = screen();
    void s.refresh();
    await s.answer();
    const key = s.surface.spec?.key ?? '';
    const { signal } = new AbortController();
    await s.surface.tile({ ...at, key: `${key}0` }, signal);
    expect(s.tiles).toHaveLength(0);
    const drawn = s.surface.tile({ ...at, key }, signal);
    expect(s.surface.drawing).toBe(1);
    await drawn;
    expect(s.surface.drawing).toBe(0);
    expect(s.tiles[0]).toMatchObject({ ...at, spec: { key } });
  });

  it('that fail are told in place of the surface; one that was called off is not', async () => {
    const s = screen();
    void s.refresh();
    await s.answer();
    const key = s.surface.spec?.key ?? '';
    const { signal } = new AbortController();
    s.answerTiles(fail('cancelled', '', '', ''));
    expect(await s.surface.tile({ ...at, key }, signal)).toBeNull();
    expect(s.surface.failure).toBeNull();
    s.answerTiles(fail('unreadable', 'Rain', 'cannot be read there', 'Try again.'));
    await s.surface.tile({ ...at, key }, signal);
    expect(s.surface.failure?.what).toBe('cannot be read there');
    expect(s.surface.spec).toBeNull();
  });
});

describe('the ranking of zones', () => {
  const spec = (key: string): SurfaceSpec => ({
    key,
    variables: [],
    whitening: new Float64Array(),
    kept: 1,
    sites: [],
  });
  const result = (step: number): ZoneMatch => ({ bins: 1000, zones: [], step, cellMetres: 1 });

  function ranked() {
    const waiting = new Map<string, (r: Result<ZoneMatch>) => void>();
    const stopped: string[] = [];
    const ranking = new Ranking(
      fakeJobs({
        rankZones: ({ spec: { key } }, stop) => {
          void stop.then(() => stopped.push(key));
          return new Promise((go) => waiting.set(key, go));
        },
      }),
    );
    return { ranking, waiting, stopped };
  }

  it('keeps the old one on screen under its own key until the new one is there', async () => {
    const { ranking, waiting, stopped } = ranked();
    const first = ranking.refresh(spec('1'), []);
    waiting.get('1')?.(ok(result(1)));
    await first;
    expect(ranking.key).toBe('1');
    void ranking.refresh(spec('2'), []);
    const third = ranking.refresh(spec('3'), []);
    await turn();
    expect(stopped).toEqual(['2']);
    expect([ranking.value?.step, ranking.key]).toEqual([1, '1']);
    waiting.get('2')?.(ok(result(2)));
    await turn();
    expect(ranking.value?.step, 'the older answer').toBe(1);
    waiting.get('3')?.(ok(result(3)));
    await third;
    expect([ranking.value?.step, ranking.key, ranking.progress]).toEqual([3, '3', null]);
  });

  it('can be stopped, and made after all', async () => {
    const { ranking, waiting } = ranked();
    void ranking.refresh(spec('1'), []);
    ranking.stop();
    waiting.get('1')?.(ok(result(1)));
    await turn();
    expect([ranking.stopped, ranking.value, ranking.progress]).toEqual([true, null, null]);
    await ranking.refresh(spec('1'), []);
    expect(ranking.stopped, 'not by itself').toBe(true);
    const again = ranking.retry(spec('1'), []);
    waiting.get('1')?.(ok(result(4)));
    await again;
    expect([ranking.stopped, ranking.value?.step]).toEqual([false, 4]);
  });

  it('says why there is none', async () => {
    const { ranking, waiting } = ranked();
    const asked = ranking.refresh(spec('1'), []);
    waiting.get('1')?.(fail('content', 'Zones', 'are not open', 'Bring them.'));
    await asked;
    expect(ranking.failure?.what).toBe('are not open');
    expect(ranking.progress).toBeNull();
  });
});
