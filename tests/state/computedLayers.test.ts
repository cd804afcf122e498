/** Layers that are computed from another: opened after it, anew with it, and told what is wrong where it is not there. */
import { describe, expect, it } from 'vitest';
import { fail, ok } from '../../src/domain/base/result.ts';
import { editLayer, redefineLayer, removeLayer } from '../../src/domain/plan/change.ts';
import { freshPlan } from '../../src/domain/plan/fresh.ts';
import type { LayerEntry, Plan } from '../../src/domain/plan/schema.ts';
import { Layers } from '../../src/state/layers.svelte.ts';
import { fakeJobs } from './fakeWorker.ts';

const entry = (id: string, more: Partial<LayerEntry>): LayerEntry => ({
  id,
  definition: id,
  title: id.toUpperCase(),
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
  ...more,
});
/** The computed one stands first: the order of the plan is not that of opening. */
const start = (): Plan => ({
  ...freshPlan('p'),
  layers: [
    entry('slope', { from: 'elevation' }),
    entry('elevation', { path: 'e.tif' }),
    entry('land-cover', { path: 'c.tif' }),
  ],
});

function screen(files: readonly string[] = ['e.tif', 'c.tif']) {
  const done: string[] = [];
  const worker = (name: string) =>
    fakeJobs({
      open: ({ entry: e, bytes }) => {
        done.push(`${name} opens ${e.id} from ${bytes?.name ?? e.from ?? 'nothing'}`);
        return bytes?.name === 'broken.tif'
          ? fail('format', 'broken.tif', 'is damaged', 'Get it again.')
          : ok({
              id: e.id,
              file: 'f',
              format: 'GeoTIFF',
              crs: null,
              extent: null,
              count: 1,
              notes: [],
              geojson: null,
              raster: { width: 9, height: 9, cellMetres: 30, low: 0, high: 1, figures: null },
              facts: {
                kind: 'raster',
                fields: [],
                parts: [],
                part: '',
                offers: [],
                classes: [],
                sample: null,
              },
            });
      },
      close: ({ id }) => {
        if (name === 'data') done.push(`closes ${id}`);
        return ok(null);
      },
      candidates: () => fail('content', 'Candidates', 'none', ''),
    });
  const layers = new Layers(worker('data'), worker('tiles'));
  for (const f of files) layers.keep(f, new Blob(['x']));
  return {
    layers,
    async sync(this: void, plan: Plan) {
      done.length = 0;
      await layers.sync(plan);
      return done.slice();
    },
    said: (id: string) => {
      const s = layers.states[id];
      return s?.kind === 'failed' ? `${s.failure.where} ${s.failure.what}` : s?.kind;
    },
  };
}

describe('a layer that is computed from another', () => {
  it('is opened after it, in both workers, without bytes of its own', async () => {
    const { layers, sync } = screen();
    const done = await sync(start());
    expect(done.filter((d) => d.includes('slope'))).toEqual([
      'data opens slope from elevation',
      'tiles opens slope from elevation',
    ]);
    expect(done.indexOf('tiles opens elevation from e.tif')).toBeLessThan(
      done.indexOf('data opens slope from elevation'),
    );
    expect(layers.states['slope']?.kind).toBe('open');
    expect(layers.lacksFile(start().layers[0])).toBe(false);
  });

  it('is computed anew where the other is read in another way or its radius is another, and not for a title', async () => {
    const { sync } = screen();
    let plan = start();
    await sync(plan);
    expect(
      await sync((plan = editLayer(plan, 'elevation', { title: 'Hills', source: 'a survey' }).after)),
    ).toEqual([]);
    const unit = await sync((plan = editLayer(plan, 'elevation', { unit: 'ft' }).after));
    expect(unit).toContain('data opens slope from elevation');
    expect(unit).not.toContain('data opens land-cover from c.tif');
    const radius = await sync(editLayer(plan, 'slope', { radius: 100 }).after);
    expect(radius).toEqual([
      'closes slope',
      'data opens slope from elevation',
      'tiles opens slope from elevation',
    ]);
  });

  it('says that the other is gone, and comes back with it', async () => {
    const { sync, said } = screen();
    const plan = start();
    await sync(plan);
    await sync(removeLayer(plan, 'elevation').after);
    expect(said('slope')).toBe('SLOPE is computed from the layer "elevation", which is not among the layers');
    await sync(plan);
    expect(said('slope')).toBe('open');
    await sync(redefineLayer(plan, 'elevation', 'land-cover', 'Cover').after);
    expect(said('slope')).toBe('SLOPE is computed from Cover, which is not an elevation raster');
    await sync(plan);
    expect(said('slope')).toBe('open');
  });

  it('says that the other could not be opened, and follows when its file comes back', async () => {
    const { layers, sync, said } = screen(['c.tif']);
    const plan = start();
    await sync(plan);
    expect(said('slope')).toBe('SLOPE is computed from ELEVATION, which could not be opened');
    layers.keep('e.tif', new Blob(['x']));
    await layers.reopen('elevation');
    await sync(plan);
    expect(said('elevation')).toBe('open');
    expect(said('slope')).toBe('open');
  });
});
