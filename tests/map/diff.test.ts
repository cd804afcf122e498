import type { LayerSpecification } from 'maplibre-gl';
import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import { diff, type Step } from '../../src/map/diff.ts';
import { EMPTY, type MapSource, type MapStyle } from '../../src/map/mapStyle.ts';
import { styleOf } from '../../src/map/style.ts';
import { BARE, FULL, randomView } from './views.ts';

type Plain = Record<string, unknown> & {
  id: string;
  paint?: Record<string, unknown>;
  layout?: Record<string, unknown>;
};

/** A map that keeps the library's rules: what a step must not do throws, as it would there. */
class StrictMap {
  sources = new Map<string, MapSource>();
  layers: Plain[] = [];

  apply(steps: readonly Step[]): void {
    for (const step of steps) this.#do(step);
  }

  #layer(id: string): Plain {
    const found = this.layers.find((l) => l.id === id);
    if (!found) throw new Error(`no layer ${id}`);
    return found;
  }

  #do(step: Step): void {
    switch (step.do) {
      case 'remove layer':
        this.layers.splice(this.layers.indexOf(this.#layer(step.id)), 1);
        break;
      case 'remove source':
        if (this.layers.some((l) => l['source'] === step.id)) throw new Error(`source ${step.id} in use`);
        if (!this.sources.delete(step.id)) throw new Error(`no source ${step.id}`);
        break;
      case 'add source':
        if (this.sources.has(step.id)) throw new Error(`source ${step.id} twice`);
        this.sources.set(step.id, step.source);
        break;
      case 'set data':
        if (this.sources.get(step.id)?.kind !== step.source.kind)
          throw new Error(`source ${step.id} differs`);
        this.sources.set(step.id, step.source);
        break;
      case 'add layer': {
        if (this.layers.some((l) => l.id === step.layer.id)) throw new Error(`layer ${step.layer.id} twice`);
        const layer = structuredClone(step.layer) as unknown as Plain;
        if (typeof layer['source'] === 'string' && !this.sources.has(layer['source']))
          throw new Error(`layer ${layer.id} before its source`);
        const at =
          step.before === undefined ? this.layers.length : this.layers.indexOf(this.#layer(step.before));
        this.layers.splice(at, 0, layer);
        break;
      }
      case 'paint':
      case 'layout': {
        const part = (this.#layer(step.id)[step.do] ??= {});
        if (step.value === undefined) Reflect.deleteProperty(part, step.name);
        else part[step.name] = step.value;
        break;
      }
      case 'filter':
        if (step.value === null) delete this.#layer(step.id)['filter'];
        else this.#layer(step.id)['filter'] = step.value;
        break;
    }
  }
}

const data = (s: MapSource): unknown => (s.kind === 'file' ? s.blob : s.key);
const sorted = (o: unknown): unknown =>
  JSON.parse(
    JSON.stringify(o, (_, v: unknown) =>
      v && typeof v === 'object' && !Array.isArray(v) ? Object.fromEntries(Object.entries(v).sort()) : v,
    ),
  );

function expectShows(map: StrictMap, style: MapStyle): void {
  expect(map.layers.map((l) => l.id)).toEqual(style.layers.map((l) => l.id));
  expect(sorted(map.layers)).toEqual(sorted(style.layers));
  expect([...map.sources.keys()].sort()).toEqual(Object.keys(style.sources).sort());
  for (const [id, source] of map.sources) expect(data(source)).toBe(data(style.sources[id]));
}

describe('the steps from one style to the next', () => {
  it('lead to it, over 300 random changes of view', () => {
    for (const seed of [1, 2, 3]) {
      const random = rng(seed);
      const map = new StrictMap();
      let style = EMPTY;
      for (let i = 0; i < 100; i++) {
        const next = styleOf(
          randomView(random),
          random() < 0.5 ? null : { states: POINT, counties: POINT, names: [] },
        );
        try {
          map.apply(diff(style, next));
          expectShows(map, next);
        } catch (error) {
          throw new Error(`seed ${seed}, change ${i}`, { cause: error });
        }
        style = next;
      }
    }
  });

  it('are none where nothing changed', () => {
    expect(diff(styleOf(FULL, null), styleOf({ ...FULL }, null))).toEqual([]);
  });

  it('only hand over data when a tree is pointed at', () => {
    const steps = diff(styleOf({ ...FULL, hovered: null }, null), styleOf(FULL, null));
    expect(steps.map((s) => [s.do, 'id' in s ? s.id : ''])).toEqual([['set data', 'pointed']]);
  });

  it('hand over the points when their Blob is another, not when it is the same', () => {
    const next = { ...FULL, points: new Blob(['{}']) };
    expect(diff(styleOf(FULL, null), styleOf(next, null)).map((s) => s.do)).toEqual(['set data']);
    expect(diff(styleOf(next, null), styleOf({ ...next }, null))).toEqual([]);
  });

  it('only change a filter when another zone becomes the home zone', () => {
    const steps = diff(styleOf(FULL, null), styleOf({ ...FULL, homeZones: [3] }, null));
    expect(new Set(steps.map((s) => s.do))).toEqual(new Set(['filter', 'paint']));
    for (const s of steps) expect('id' in s && s.id.endsWith('/zones')).toBe(true);
  });

  it('ask for a raster anew when its file is another, and leave the rest alone', () => {
    const rasters = FULL.rasters.map((r, i) => (i === 0 ? { ...r, revision: 'new' } : r));
    const steps = diff(styleOf(FULL, null), styleOf({ ...FULL, rasters }, null));
    expect(steps.map((s) => s.do)).toEqual(['remove layer', 'remove source', 'add source', 'add layer']);
    const added = steps[3] as { layer: LayerSpecification; before: string };
    expect(added.layer.id).toBe('raster/elevation');
    expect(added.before).toBe('raster/annual/rain?');
  });

  it('repaint and keep the data of every layer in another scheme, but for the pictures of rasters', () => {
    const steps = diff(styleOf(FULL, null), styleOf({ ...FULL, scheme: 'dark' }, null));
    const again = steps.filter((s) => s.do === 'add source' || s.do === 'remove source');
    expect(again.every((s) => s.id.startsWith('raster/') || s.id === 'surface')).toBe(true);
    expect(steps.filter((s) => s.do === 'set data').map((s) => s.id)).toEqual(['member']);
  });

  it('give the match surface a source of its own for every key and threshold, and repaint for another opacity', () => {
    const { surface } = FULL;
    if (!surface) throw new Error('no surface');
    const after = (part: Partial<typeof surface>): string[] =>
      diff(styleOf(FULL, null), styleOf({ ...FULL, surface: { ...surface, ...part } }, null)).map(
        (s) => `${s.do} ${'id' in s ? s.id : s.layer.id}`,
      );
    const renewed = [
      'remove layer surface',
      'remove source surface',
      'add source surface',
      'add layer surface',
    ];
    expect(after({ key: '4' })).toEqual(renewed);
    expect(after({ least: 0.1 })).toEqual(renewed);
    expect(after({ opacity: 0.2 })).toEqual(['paint surface']);
    expect(after({})).toEqual([]);
  });

  it('clear the map', () => {
    const map = new StrictMap();
    map.apply(diff(EMPTY, styleOf(FULL, null)));
    const bare = styleOf(BARE, null);
    map.apply(diff(styleOf(FULL, null), bare));
    expectShows(map, bare);
  });
});

const POINT: GeoJSON.Point = { type: 'Point', coordinates: [0, 0] };
