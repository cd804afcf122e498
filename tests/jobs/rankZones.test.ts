/** The match surface summed up by zone, against counting cell by cell. */
import { describe, expect, it } from 'vitest';
import { geodesicArea } from '../../src/domain/base/geodesy.ts';
import type { MultiPolygon } from '../../src/domain/base/geo.ts';
import { rng } from '../../src/domain/base/rng.ts';
import { Cancelled } from '../../src/domain/base/work.ts';
import { areaIndex } from '../../src/domain/layers/areaIndex.ts';
import type { Zone } from '../../src/domain/layers/zones.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import type { Desk } from '../../src/jobs/handlers/desk.ts';
import { openLayer } from '../../src/jobs/handlers/open.ts';
import { rankZones } from '../../src/jobs/handlers/rankZones.ts';
import { covarianceOf, deskWith, question, value, valuesAt, wavy, type Made } from './surfaceFixture.ts';

async function addZones(desk: Desk, shapes: readonly MultiPolygon[]): Promise<readonly Zone[]> {
  const features = shapes.map((coordinates, i) => ({
    type: 'Feature',
    properties: { zone: `Z${i}` },
    geometry: { type: 'MultiPolygon', coordinates },
  }));
  const text = JSON.stringify({ type: 'FeatureCollection', features });
  const layers = [{ id: 'zones', definition: 'zones', path: 'zones.geojson', key: 'zone' }];
  const plan = value(parsePlan({ kinstand: 1, title: 'Invented', layers, plantings: [] }, 'test'));
  const source = memorySource('zones.geojson', new TextEncoder().encode(text));
  const layer = value(await openLayer(desk, plan.layers[0], source, {}));
  if (!layer.zones) throw new Error('no zones');
  return layer.zones;
}

/** A star about a place, degrees. */
function star(lon: number, lat: number, reach: number, seed: number): MultiPolygon[number] {
  const random = rng(seed);
  const points = Array.from({ length: 40 }, (_, i) => {
    const r = reach * (0.5 + 0.5 * random());
    const t = (2 * Math.PI * i) / 40;
    return [lon + r * Math.cos(t), lat + r * Math.sin(t)] as const;
  });
  return [[...points, points[0]]];
}
const box = (w: number, s: number, e: number, n: number): MultiPolygon[number] => [
  [
    [w, s],
    [e, s],
    [e, n],
    [w, n],
    [w, s],
  ],
];

const ALBERS: Made = {
  crs: 'EPSG:5070',
  at: [1_150_000, 1_900_000, 300, 300],
  width: 300,
  height: 320,
  cell: wavy(1, 10, 1, 0.1),
};
/** Degrees, cells of 0.004: taller to the south by nothing, wider by a good deal. */
const DEGREES: Made = {
  crs: 'EPSG:4326',
  at: [-82.6, 39.4, 0.004, 0.003],
  width: 300,
  height: 300,
  cell: wavy(2, 10, 1, 0.1),
};
/** Two stars that lie over one another, one with a hole, one of two parts, one half off the grid. */
const ZONES: readonly MultiPolygon[] = [
  [star(-82.0, 39.0, 0.3, 1)],
  [[...star(-81.9, 38.95, 0.35, 2), [...box(-81.8, 38.9, -81.75, 38.95)[0]].reverse()]],
  [star(-82.25, 38.8, 0.12, 3), star(-82.3, 39.2, 0.1, 4)],
  [box(-83.5, 38.7, -82.4, 39.3)],
  [box(-60, 10, -59, 11)],
];
const SITES = [
  { lon: -82.0, lat: 39.0 },
  { lon: -82.9, lat: 40.2 },
];

/** km² of a cell as drawn in the raster, each side followed in 20 steps (Karney 2013). */
function cellKm2(
  raster: Awaited<ReturnType<typeof deskWith>>['rasters'][number],
  c: number,
  r: number,
): number {
  const shares = Array.from({ length: 20 }, (_, i) => i / 20);
  const col = [
    ...shares.map((t) => c + t),
    ...shares.map(() => c + 1),
    ...shares.map((t) => c + 1 - t),
    ...shares.map(() => c),
  ];
  const row = [
    ...shares.map(() => r),
    ...shares.map((t) => r + t),
    ...shares.map(() => r + 1),
    ...shares.map((t) => r + 1 - t),
  ];
  const { lon, lat } = raster.toPlace(Float64Array.from(col), Float64Array.from(row));
  return geodesicArea([[Array.from(lon, (x, i) => [x, lat[i]] as const)]]) / 1e6;
}

describe.each([
  ['Albers', ALBERS],
  ['degrees', DEGREES],
] as const)('zones on a grid in %s', (_name, made) => {
  const { spec, pointMatch } = question(covarianceOf([1.2]), [[10], [10.6]], ['identity']);

  it('have the sums of their cells, counted one by one', async () => {
    const { desk, rasters } = await deskWith([made]);
    const zones = await addZones(desk, ZONES);
    const [raster] = rasters;
    const got = value(await rankZones(desk, { spec, sites: SITES }, {}));
    expect(got.step).toBe(1);
    expect(got.cellMetres).toBe(raster.cellMetres);
    const { width, height } = made;
    const n = width * height;
    const { lon, lat } = raster.toPlace(
      Float64Array.from({ length: n }, (_, i) => (i % width) + 0.5),
      Float64Array.from({ length: n }, (_, i) => Math.floor(i / width) + 0.5),
    );
    const match = pointMatch(await valuesAt(rasters, lon, lat));
    const { areaOf } = areaIndex(zones.map((z) => z.area.geometry));
    const histograms = zones.map(() => new Float64Array(got.bins));
    const km2 = new Float64Array(zones.length);
    const known = new Float64Array(zones.length);
    const best = new Float64Array(zones.length).fill(NaN);
    // One in 50 columns has its own size; sizes change slowly along a row.
    const sizes = new Map<number, number>();
    for (let i = 0; i < n; i++) {
      const z = areaOf(lon[i], lat[i]);
      if (z < 0) continue;
      const key = Math.floor(i / width) * 100 + Math.floor((i % width) / 50);
      const size = sizes.get(key) ?? cellKm2(raster, i % width, Math.floor(i / width));
      sizes.set(key, size);
      km2[z] += size;
      const m = Math.fround(match[i]);
      if (Number.isNaN(m)) continue;
      known[z] += size;
      histograms[z][Math.min(got.bins - 1, Math.floor(m * got.bins))] += size;
      if (!(m <= best[z])) best[z] = m;
    }
    for (const [z, zone] of got.zones.entries()) {
      expect(zone.zone).toBe(z);
      expect(zone.knownKm2 / known[z] || 1).toBeCloseTo(1, 4);
      expect(zone.histogram.reduce((a, b) => a + b, 0)).toBeCloseTo(zone.knownKm2, 6);
      zone.histogram.forEach((a, b) => {
        if (Math.abs(a - histograms[z][b]) > 1e-4 * (1 + a)) expect(a).toBeCloseTo(histograms[z][b], 3);
      });
      if (z < 3) expect(zone.km2 / km2[z]).toBeCloseTo(1, 4);
      else {
        // Beyond the grid the outline's own area counts.
        const outline = geodesicArea(ZONES[z]) / 1e6;
        expect(zone.km2 / outline).toBeCloseTo(1, 4);
        expect(zone.knownKm2).toBeLessThan(0.95 * zone.km2);
      }
      if (z === 4) {
        expect(zone).toMatchObject({ knownKm2: 0, best: NaN, bestPlace: null });
        continue;
      }
      expect(zone.knownKm2).toBeGreaterThan(10);
      expect(zone.best).toBeCloseTo(best[z], 6);
      const at = zone.bestPlace;
      if (!at) throw new Error('no place of the best match');
      expect(areaOf(at.lon, at.lat)).toBe(z);
      const there = pointMatch(await valuesAt(rasters, Float64Array.of(at.lon), Float64Array.of(at.lat)));
      expect(there[0]).toBeCloseTo(zone.best, 6);
    }
    expect(got.zones[0].km).toBe(0);
    expect(got.zones[4].km).toBeGreaterThan(3000);
  });

  it('of too many cells are looked at in steps, and say so', async () => {
    const { desk } = await deskWith([made]);
    await addZones(desk, ZONES);
    const all = value(await rankZones(desk, { spec, sites: SITES }, {}));
    const some = value(await rankZones(desk, { spec, sites: SITES }, {}, 6000));
    expect(some.step).toBe(4);
    expect(some.cellMetres).toBeCloseTo(4 * all.cellMetres, 6);
    for (const z of [0, 1, 2]) expect(some.zones[z].km2 / all.zones[z].km2).toBeCloseTo(1, 1);
    for (const z of [0, 1, 2, 3]) {
      const mean = ({ histogram, knownKm2 }: (typeof all.zones)[number]): number =>
        histogram.reduce((sum, a, b) => sum + (a * (b + 0.5)) / all.bins, 0) / knownKm2;
      expect(Math.abs(mean(some.zones[z]) - mean(all.zones[z]))).toBeLessThan(0.05);
    }
  });

  it('can be stopped, and tell how far they are', async () => {
    const { desk } = await deskWith([made]);
    await addZones(desk, ZONES);
    const told: number[] = [];
    const progress = (done: number, total: number): void => void told.push(done / total);
    value(await rankZones(desk, { spec, sites: SITES }, { progress }));
    expect(told.at(-1)).toBe(1);
    const pause = (): Promise<void> => Promise.reject(new Cancelled());
    await expect(rankZones(desk, { spec, sites: SITES }, { pause })).rejects.toBeInstanceOf(Cancelled);
  });
});

describe('zones about the 180th meridian', () => {
  it('are whole on a raster from 0 to 360, on either side of its seam and of the meridian', async () => {
    const whole: Made = { crs: 'EPSG:4326', at: [0, 30, 0.5, 0.5], width: 720, height: 120, cell: () => 10 };
    const { desk } = await deskWith([whole]);
    // One over the meridian, cut there as RFC 7946 says; one over Greenwich, where the raster begins and ends.
    await addZones(desk, [[box(178, 5, 180, 10), box(-180, 5, -177, 10)], [box(-3, 5, 2, 10)]]);
    const { spec } = question(covarianceOf([1]), [[10]], ['identity']);
    const got = value(await rankZones(desk, { spec, sites: [{ lon: 179, lat: 7 }] }, {}));
    for (const zone of got.zones) {
      // 5 degrees by 5 degrees from 5 N on: 10 by 10 cells.
      expect(zone.knownKm2 / (geodesicArea([box(0, 5, 5, 10)]) / 1e6)).toBeCloseTo(1, 2);
      expect(zone.best).toBe(1);
    }
    expect(got.zones[0].km2 / got.zones[1].km2).toBeCloseTo(1, 6);
    expect(got.zones[0].km).toBe(0);
  });
});

describe('without zones', () => {
  it('it is said that none are open', async () => {
    const { desk } = await deskWith([ALBERS]);
    const { spec } = question(covarianceOf([1.2]), [[10]], ['identity']);
    const got = await rankZones(desk, { spec, sites: SITES }, {});
    expect(got).toMatchObject({ ok: false, failure: { code: 'content', where: 'Zones' } });
  });
});
