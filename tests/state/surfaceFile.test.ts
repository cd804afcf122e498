/** The files of the match surface and of the ranking of zones, as the screens ask for them. */
import { describe, expect, it } from 'vitest';
import { createExporter } from '../../src/app/exporter.ts';
import { fail, ok } from '../../src/domain/base/result.ts';
import { freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import type { SurfaceSpec, ZoneMatch } from '../../src/domain/vetting/match/types.ts';
import type { SurfaceAbout } from '../../src/domain/plan/surfaceAbout.ts';
import type { Jobs } from '../../src/jobs/protocol.ts';
import type { Kinstand } from '../../src/state/kinstand.svelte.ts';
import { SurfaceFile } from '../../src/state/surfaceFile.svelte.ts';
import { fakeJobs } from './fakeWorker.ts';

const spec = (key: string): SurfaceSpec => ({
  key,
  variables: [],
  whitening: new Float64Array(0),
  kept: 1,
  sites: [],
});
const about: SurfaceAbout = { title: 'Match', notice: '', lines: {} };

describe('the surface as a file', () => {
  it('is what the worker makes; whether one is being made is told', async () => {
    const state = new SurfaceFile(fakeJobs({ surface: () => ok(new Blob(['tiff'])) }));
    expect(state.progress).toBeNull();
    const made = state.make(spec('1'), about);
    expect(state.progress).toEqual({ done: 0, total: 0 });
    const result = await made;
    expect(result.ok && (await result.value.text())).toBe('tiff');
    expect(state.progress).toBeNull();
  });

  it('ends one that is being made when another is asked for, and when it is stopped', async () => {
    const stopped: string[] = [];
    const state = new SurfaceFile(
      fakeJobs({
        surface: ({ spec: { key } }, stop) =>
          key === 'last'
            ? ok(new Blob(['last']))
            : stop.then(() => {
                stopped.push(key);
                return fail('cancelled', 'This work', 'was stopped', '');
              }),
      }),
    );
    const first = state.make(spec('first'), about);
    const second = state.make(spec('second'), about);
    expect(await first).toMatchObject({ ok: false, failure: { code: 'cancelled' } });
    // The second goes on.
    expect(state.progress).not.toBeNull();
    state.stop();
    expect(state.progress).toBeNull();
    expect(await second).toMatchObject({ ok: false, failure: { code: 'cancelled' } });
    expect(stopped).toEqual(['first', 'second']);
    expect((await state.make(spec('last'), about)).ok).toBe(true);
  });
});

describe('exports', () => {
  const site = { lon: -82.5, lat: 39.5, name: 'Pasture' };
  const planting = freshPlanting('p', 'Oaks for the pasture', 'Quercus alba', site, ['warm']);
  const square = (west: number) => [
    [
      [
        [west, 39],
        [west + 1, 39],
        [west + 1, 40],
        [west, 40],
        [west, 39],
      ],
    ],
  ];
  const histogram = (bin: number): Float64Array => {
    const bins = new Float64Array(1000);
    bins[bin] = 10;
    return bins;
  };
  const match: ZoneMatch = {
    bins: 1000,
    step: 1,
    cellMetres: 100,
    zones: [0, 1].map((zone) => ({
      zone,
      km2: 12,
      knownKm2: 10,
      histogram: histogram(zone === 0 ? 20 : 800),
      best: zone === 0 ? 0.0205 : 0.8005,
      bestPlace: { lon: -82.5 + zone, lat: 39.5 },
      km: zone * 50,
    })),
  };
  const zonesLayer = { id: 'z', definition: 'zones' };
  /** What the exporter looks at. */
  function app(part: object = {}): { k: Kinstand; asked: Array<Jobs['surface']['input']> } {
    const asked: Array<Jobs['surface']['input']> = [];
    const features = [0, 1].map((index) => ({
      properties: { index },
      geometry: { coordinates: square(-83 + index) },
    }));
    const k = {
      plan: { ...freshPlan('P'), notice: 'Invented.', layers: [zonesLayer], plantings: [planting] },
      planting,
      least: 0.05,
      ranking: { value: match, key: 'now' },
      surface: { spec: spec('now'), variables: [] },
      spread: { value: { spread: { from: 'within 2 zones', cells: 60, kept: 1 } } },
      surfaceFile: new SurfaceFile(
        fakeJobs({
          surface: (input) => {
            asked.push(input);
            return ok(new Blob(['tiff']));
          },
        }),
      ),
      contacts: {
        value: {
          zones: [
            { key: 'a', name: 'West' },
            { key: 'b', name: '' },
          ],
          pairs: [{ a: 'a', b: 'b', contact: 'edge', sharedMetres: 100 }],
        },
        failure: null,
      },
      results: { vetting: null },
      layers: {
        candidates: null,
        view: (id: string) =>
          id === 'z'
            ? { geojson: new Blob([JSON.stringify({ type: 'FeatureCollection', features })]) }
            : null,
      },
      ...part,
    };
    return { k: k as unknown as Kinstand, asked };
  }

  it('the GeoTIFF is that of the surface on screen, named after the planting, and says what it is of', async () => {
    const { k, asked } = app();
    const made = await createExporter(k).surfaceGeotiff();
    if (!made.ok) throw new Error(made.failure.what);
    expect(made.value.name).toBe('oaks-for-the-pasture-match.tif');
    expect(asked[0].spec.key).toBe('now');
    expect(asked[0].about).toMatchObject({
      title: 'Environmental match, Oaks for the pasture',
      notice: 'Invented.',
      lines: {
        site: 'Pasture (lon -82.50000, lat 39.50000)',
        spread: 'within 2 zones, 60 cells',
        components: '1',
      },
    });
  });

  it('zones come with their ranking at the threshold on screen, best first, as a table and with their outlines', async () => {
    const exporter = createExporter(app().k);
    const table = await exporter.zonesCsv();
    if (!table.ok) throw new Error(table.failure.what);
    const lines = (await table.value.blob.text()).split('\r\n');
    expect(lines[1]).toMatch(/^b,b,adjacent,0\.05,1,10,10,12,0\.8005,/);
    expect(lines[2]).toMatch(/^a,West,home,0\.05,0,0,10,12,0\.0205,/);
    const outlines = await exporter.zonesGeojson();
    if (!outlines.ok) throw new Error(outlines.failure.what);
    const { features } = JSON.parse(await outlines.value.blob.text()) as {
      features: Array<{ id: string; geometry: { coordinates: number[][][] } }>;
    };
    expect(features.map((f) => [f.id, f.geometry.coordinates[0][0][0]])).toEqual([
      ['b', -82],
      ['a', -83],
    ]);
  });

  it('are not ready while the surface is being made, or the ranking is that of earlier inputs', async () => {
    const none = createExporter(app({ surface: { spec: null, variables: [] } }).k);
    const old = createExporter(app({ ranking: { value: match, key: 'before' } }).k);
    for (const answer of [
      await none.surfaceGeotiff(),
      await none.zonesCsv(),
      await old.zonesCsv(),
      await old.zonesGeojson(),
    ])
      expect(answer).toMatchObject({ ok: false, failure: { what: 'is not ready yet' } });
    expect((await old.surfaceGeotiff()).ok).toBe(true);
  });
});
