/**
 * All layers of a kind are measured: rasters in the order of the plan until one has a value, shapes together, and of zones
 * the first alone. Rasters: tests/fixtures/county (60 km about 41 N, 91 W) and the demo (about 39 N, 82 W), both invented.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { GROUNDS } from '../../src/domain/layers/landcover.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { createDesk, type Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';

/** A tree in each of the two areas, and one far from both. */
const TREES = [
  [-91.12, 40.98],
  [-82.2, 38.95],
  [-86.5, 40],
] as const;
const bytes = (file: string): Uint8Array =>
  file in texts ? new TextEncoder().encode(texts[file]) : new Uint8Array(readFileSync(file));
const shape = (type: string, coordinates: unknown, properties: object = {}): string =>
  JSON.stringify({
    type: 'FeatureCollection',
    features: [{ type: 'Feature', properties, geometry: { type, coordinates } }],
  });
const house = (lon: number, lat: number): string =>
  shape('Polygon', [
    [
      [lon, lat],
      [lon + 1e-4, lat],
      [lon + 1e-4, lat + 1e-4],
      [lon, lat + 1e-4],
      [lon, lat],
    ],
  ]);
const road = (lon: number, lat: number): string =>
  shape(
    'LineString',
    [
      [lon, lat - 0.01],
      [lon, lat + 0.01],
    ],
    { class: 'residential' },
  );
const around = (lon: number, lat: number, properties: object): string =>
  shape(
    'Polygon',
    [
      [
        [lon - 0.01, lat - 0.01],
        [lon + 0.01, lat - 0.01],
        [lon + 0.01, lat + 0.01],
        [lon - 0.01, lat + 0.01],
        [lon - 0.01, lat - 0.01],
      ],
    ],
    properties,
  );
const [west, east] = TREES;
const texts: Record<string, string> = {
  'trees.csv':
    'id,species,lon,lat\n' + TREES.map(([x, y], i) => `T${i},Quercus alba,${x},${y}`).join('\n') + '\n',
  'houses-west.geojson': house(west[0] + 0.0005, west[1]),
  'houses-east.geojson': house(east[0] + 0.0005, east[1]),
  'roads-west.geojson': road(west[0] + 0.001, west[1]),
  'roads-east.geojson': road(east[0] + 0.001, east[1]),
  'park.geojson': around(west[0], west[1], { name: 'City park' }),
  'nameless.geojson': around(east[0], east[1], { name: 'x' }),
  'orchard.geojson': around(east[0], east[1], { kind: 'orchard' }),
  'west-zones.geojson': around(west[0], west[1], { zone: 'W' }),
  'east-zones.geojson': around(east[0], east[1], { zone: 'E' }),
};

function planOf(layers: readonly object[]): Plan {
  const parsed = parsePlan(
    {
      kinstand: 1,
      title: 'Test',
      layers: [{ id: 'trees', definition: 'candidates', path: 'trees.csv' }, ...layers],
      plantings: [
        {
          id: 'p',
          title: 'P',
          species: 'Quercus alba',
          site: { lon: east[0], lat: east[1] },
          variables: [],
        },
      ],
    },
    'test',
  );
  if (!parsed.ok) throw new Error(parsed.failure.what);
  return parsed.value;
}
async function open(plan: Plan): Promise<Desk> {
  const desk = createDesk();
  // Last first: the order of the plan counts, not that of opening.
  for (const entry of [...plan.layers].reverse()) {
    const opened = await openLayer(desk, entry, memorySource(entry.path ?? '', bytes(entry.path ?? '')), {});
    if (!opened.ok) throw new Error(opened.failure.what);
  }
  return desk;
}
async function vetted(desk: Desk, plan: Plan): Promise<Vetting> {
  const result = await vet(desk, plan, plan.plantings[0], 'k', {});
  if (!result.ok) throw new Error(result.failure.what);
  return result.value;
}
const layer = (id: string, definition: string, path: string, more: object = {}): object => ({
  id,
  definition,
  path,
  ...more,
});

describe('several layers of one kind', () => {
  it('elevation comes from the first raster of the plan that has a value', async () => {
    const county = layer('a', 'elevation', 'tests/fixtures/county/hills.tif', {
      title: 'Hills',
      date: '2020',
    });
    const demo = layer('b', 'elevation', 'demo-data/elevation.tif', { title: 'Demo', date: '2020' });
    for (const layers of [
      [county, demo],
      [demo, county],
    ]) {
      const plan = planOf(layers);
      const v = await vetted(await open(plan), plan);
      const [w, e, none] = v.measures.elevation;
      expect(w).toBeGreaterThan(100);
      expect(e).toBeGreaterThan(100);
      expect(none).toBeNaN();
      expect(v.measures.slope[0]).toBeGreaterThanOrEqual(0);
      expect(v.sites[0].elevation).toBe(e);
      expect(v.provenance.elevation).toMatchObject({
        layer: layers.map((l) => (l as { title: string }).title).join('; '),
        date: '2020',
      });
    }
  });

  it('shapes of several files count together, and a place far from each of them is not known', async () => {
    const plan = planOf([
      layer('h1', 'buildings', 'houses-west.geojson'),
      layer('h2', 'buildings', 'houses-east.geojson'),
      layer('r1', 'roads', 'roads-west.geojson'),
      layer('r2', 'roads', 'roads-east.geojson'),
      layer('s0', 'settings', 'nameless.geojson'),
      layer('s1', 'settings', 'park.geojson'),
      layer('s2', 'settings', 'orchard.geojson'),
    ]);
    const v = await vetted(await open(plan), plan);
    const { building, buildings100, road: roads, drivable, setting } = v.measures;
    for (const i of [0, 1]) {
      expect(building[i]).toBeGreaterThan(30);
      expect(building[i]).toBeLessThan(60);
      expect(buildings100[i]).toBe(1);
      expect(roads[i]).toBeGreaterThan(60);
      expect(drivable[i]).toBe(roads[i]);
    }
    // Inside the box around both files, and 300 km from either.
    expect([building[2], roads[2]]).toEqual([NaN, NaN]);
    expect([0, 1].map((i) => v.settingNames[setting[i]])).toEqual(['park', 'orchard']);
  });

  it('of zones the first of the plan is used, and the other one is named', async () => {
    const zones = [
      layer('z1', 'zones', 'west-zones.geojson', { key: 'zone', title: 'West' }),
      layer('z2', 'zones', 'east-zones.geojson', { key: 'zone', title: 'East' }),
    ];
    const plan = planOf(zones);
    const v = await vetted(await open(plan), plan);
    expect(v.zones.keys).toEqual(['W']);
    expect([...v.measures.zone]).toEqual([0, -1, -1]);
    expect(v.notes).toContain('East: not used; zones are read from West');
    expect(v.provenance.zone?.layer).toBe('West');
  });
});

describe('classes of land cover', () => {
  it('count as the user set them, from the next vetting on, without the file being opened again', async () => {
    const plan = planOf([layer('c', 'land-cover', 'demo-data/land-cover.tif')]);
    const desk = await open(plan);
    const before = await vetted(desk, plan);
    const value = before.measures.cover[1];
    expect(GROUNDS[before.measures.ground[1]]).not.toBe('forest');
    expect(before.notes.join(' ')).not.toMatch(/count as nothing/);
    const set = planOf([
      layer('c', 'land-cover', 'demo-data/land-cover.tif', { classes: { [String(value)]: 'forest' } }),
    ]);
    const after = await vetted(desk, set);
    expect(after.measures.cover[1]).toBe(value);
    expect(GROUNDS[after.measures.ground[1]]).toBe('forest');
    expect(after.measures.forest100[1]).toBeGreaterThan(before.measures.forest100[1]);
    // Back to the legend.
    expect((await vetted(desk, plan)).measures.ground).toEqual(before.measures.ground);
  });

  it('of another legend are not taken for the one that is known', async () => {
    const plan = planOf([layer('c', 'land-cover', 'tests/fixtures/county/hills.tif', { title: 'Odd' })]);
    const desk = await open(plan);
    expect(
      desk.layers
        .get('c')
        ?.notes.map((n) => n.what)
        .join(' '),
    ).toMatch(/nothing is read of it/);
    const v = await vetted(desk, plan);
    expect([...v.measures.ground]).toEqual([-1, -1, -1]);
    expect(v.measures.forest100[0]).toBeNaN();
    expect(v.notes.join(' ')).toMatch(/Odd: holds too many/);
  });
});
