import { describe, expect, it } from 'vitest';
import { geodesicInverse } from '../../src/domain/base/geodesy.ts';
import type { Box, MultiPolygon } from '../../src/domain/base/geo.ts';
import type { Transform } from '../../src/domain/layers/definition.ts';
import type { SpreadChoice } from '../../src/domain/plan/schema.ts';
import { spread } from '../../src/domain/vetting/match/spread.ts';
import { createDesk } from '../../src/jobs/handlers/desk.ts';
import { memoOf } from '../../src/jobs/handlers/memo.ts';
import {
  referenceCells,
  type Cells,
  type CellVariable,
  type ZoneShapes,
} from '../../src/jobs/handlers/referenceCells.ts';
import { functionRaster, type FunctionRaster } from './functionRaster.ts';

const box = (west: number, south: number, east: number, north: number): MultiPolygon => [
  [
    [
      [west, south],
      [east, south],
      [east, north],
      [west, north],
      [west, south],
    ],
  ],
];
const zones: ZoneShapes = {
  id: 'zones',
  names: ['West', 'East'],
  shapes: [box(-84, 38, -83.5, 39), box(-83.5, 38, -83, 39)],
};
const area: Box = [-84, 38, -83, 39];
const site = { lon: -83.6, lat: 38.5 };
const byZones: SpreadChoice = { kind: 'zones' };

interface Read extends CellVariable {
  readonly raster: FunctionRaster;
}
function variable(
  id: string,
  step: number,
  value: (lon: number, lat: number) => number,
  transform: Transform = 'identity',
): Read {
  return {
    variable: { id, title: id.toUpperCase(), unit: 'mm', transform, period: '', words: ['more', 'less'] },
    raster: functionRaster(area, step, value),
    band: 1,
  };
}
const warmth = (): Read => variable('warmth', 0.02, (lon, lat) => 50 + lon - lat * lat);
const rain = (): Read => variable('rain', 0.02, (lon, lat) => lat - lon * lon + 7000);
const height = (): Read => variable('height', 0.01, (lon, lat) => Math.sin(40 * lon) * Math.cos(50 * lat));

async function cells(
  variables: readonly CellVariable[],
  choice: SpreadChoice = byZones,
  given: { zones?: ZoneShapes | null; sites?: readonly (typeof site)[] } = {},
): Promise<Cells> {
  const r = await referenceCells(
    variables,
    given.sites ?? [site],
    given.zones === undefined ? zones : given.zones,
    choice,
  );
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
}

describe('reference cells in zones', () => {
  it('lie in their zone, on the centres of the finest grid, and have the value of every variable there', async () => {
    // The finest grid is that of the second variable: 5,000 cells a zone, of which 2,000 are drawn.
    const longitude = variable('longitude', 0.02, (lon) => lon);
    const latitude = variable('latitude', 0.01, (_, lat) => lat);
    const got = await cells([longitude, latitude]);
    expect(got.basis).toMatchObject({ basis: 'zones', from: 'within 2 zones' });
    expect(got.zoneOf).toHaveLength(4000);
    got.zoneOf.forEach((zone, i) => {
      const [lon, lat] = got.plain.map((column) => column[i]);
      expect(lon < -83.5 ? 0 : 1).toBe(zone);
      for (const x of [lon + 84, 39 - lat]) expect(Math.abs(((100 * x) % 1) - 0.5)).toBeLessThan(1e-6);
    });
  });

  it('do not hang on the order in which the variables are listed', async () => {
    const [a, b, c] = [warmth(), rain(), height()];
    const one = await cells([a, b, c]);
    const other = await cells([c, b, a]);
    expect([...other.plain].reverse()).toEqual(one.plain);
    // Two grids as fine as one another, shifted by half a cell: that of the first id.
    const shifted: Read = {
      ...rain(),
      raster: functionRaster([-83.99, 38.01, -83.01, 38.99], 0.02, (x) => x),
    };
    expect([...(await cells([shifted, a])).plain].reverse()).toEqual((await cells([a, shifted])).plain);
  });

  it('are read once: one more variable reads only that one, a moved site and another transform read nothing', async () => {
    const memo = memoOf(createDesk());
    const all = [warmth(), rain(), height()];
    const counts = (): number[] => all.map((v) => v.raster.read);
    const ask = (variables: readonly CellVariable[], at = site): Promise<unknown> =>
      referenceCells(variables, [at], zones, byZones, {}, memo);
    await ask([all[0]]);
    const coarse = counts()[0];
    expect(counts()).toEqual([coarse, 0, 0]);
    await ask([all[0], all[1]]);
    expect(counts()).toEqual([coarse, coarse, 0]);
    await ask([all[1], all[0]], { lon: -83.1, lat: 38.2 });
    await ask([{ ...all[1], variable: { ...all[1].variable, transform: 'log' } }]);
    expect(counts()).toEqual([coarse, coarse, 0]);
    // A finer grid gives other cells: all are read at them, once; without it the former cells are still there.
    await ask(all);
    expect(counts()).toEqual([coarse + 4000, coarse + 4000, 4000]);
    await ask(all);
    await ask([all[0], all[1]]);
    expect(counts()).toEqual([coarse + 4000, coarse + 4000, 4000]);
  });

  it('of another zones layer are other cells', async () => {
    const memo = memoOf(createDesk());
    const other: ZoneShapes = { id: 'other zones', names: ['South'], shapes: [box(-84, 38, -83, 38.2)] };
    const ask = (z: ZoneShapes): ReturnType<typeof referenceCells> =>
      referenceCells([warmth()], [site], z, byZones, {}, memo);
    const [first, second] = [await ask(zones), await ask(other)];
    expect(first.ok && second.ok && second.value.zoneOf.length < first.value.zoneOf.length).toBe(true);
  });

  it('made while a layer was opened anew are not remembered', async () => {
    const desk = createDesk();
    const slow = memoOf(desk);
    desk.memo = new Map(); // as open and close do
    await referenceCells([warmth()], [site], zones, byZones, {}, slow);
    expect(desk.memo.size).toBe(0);
  });

  it('that a logarithm refuses are counted and left out', async () => {
    const half = variable('half', 0.02, (lon) => lon + 83.5, 'log');
    const got = await cells([half], byZones, {
      zones: { ...zones, shapes: [box(-84, 38, -83, 39)], names: ['All'] },
    });
    const refused = got.plain[0].filter((x) => x <= 0).length;
    expect(refused).toBeGreaterThan(800);
    expect(got.refused).toEqual([refused]);
    expect(got.values[0].filter(Number.isNaN)).toHaveLength(refused);
  });
});

describe('reference cells of a circle', () => {
  it('lie within the chosen km of the first site and are others once it moves', async () => {
    const [lon, lat] = [variable('lon', 0.005, (x) => x), variable('lat', 0.005, (_, y) => y)];
    const memo = memoOf(createDesk());
    const about = async (at: typeof site): Promise<void> => {
      const r = await referenceCells(
        [lon, lat],
        [at, { lon: 0, lat: 0 }],
        zones,
        { kind: 'circle', km: 12.5 },
        {},
        memo,
      );
      if (!r.ok) throw new Error(r.failure.what);
      expect(r.value.basis.from).toBe('within 12.5 km of the first site (as chosen)');
      expect(new Set(r.value.zoneOf)).toEqual(new Set([0]));
      const far = [...r.value.plain[0]].map(
        (x, i) => geodesicInverse(at.lon, at.lat, x, r.value.plain[1][i]).metres,
      );
      expect(Math.max(...far)).toBeLessThan(12_500);
      expect(Math.max(...far)).toBeGreaterThan(12_000);
    };
    await about(site);
    const once = lon.raster.read;
    await about(site);
    expect(lon.raster.read).toBe(once);
    await about({ lon: -83.3, lat: 38.4 });
    expect(lon.raster.read).toBeGreaterThan(once);
  });

  it('stand in for zones that are not there or hold too little, which is said', async () => {
    const none = await cells([warmth()], byZones, { zones: null });
    expect(none.basis).toEqual({
      basis: 'circle',
      from: 'within 50 km of the site (no zones loaded)',
      instead: 'no zones loaded',
    });
    const small = { ...zones, shapes: [zones.shapes[0], box(-83.1, 38, -83.06, 38.1)] };
    const little = await cells([warmth()], byZones, { zones: small, sites: [site, site] });
    expect(little.basis.from).toBe(
      'within 50 km of the first site (zone East holds only 10 cells with all variables)',
    );
    expect(new Set(little.zoneOf)).toEqual(new Set([0]));
  });
});

describe('a spread that is typed in', () => {
  const typed: SpreadChoice = { kind: 'typed', sd: { warmth: 0.5, rain: 40 } };
  const taken = (c: Cells): ReturnType<typeof spread> => spread({ ...c, variables: ['Warmth', 'Rain'] });

  it('has its squares for variances and no covariance; zones still tell what the area holds', async () => {
    const got = await cells([warmth(), rain()], typed);
    const s = taken(got);
    if (!s.ok) throw new Error(s.failure.what);
    expect([...s.value.covariance]).toEqual([0.25, 0, 0, 1600]);
    expect(s.value).toMatchObject({
      basis: 'typed',
      from: 'as typed in (no correlation between variables)',
      kept: 2,
      zones: 0,
      cells: got.zoneOf.length,
    });
    expect(s.value.low[0]).toBe(Math.min(...got.plain[0]));
    expect(s.value.high[1]).toBe(Math.max(...got.plain[1]));
  });

  it('needs no zones: nothing is novel then', async () => {
    const s = taken(await cells([warmth(), rain()], typed, { zones: null }));
    if (!s.ok) throw new Error(s.failure.what);
    expect(s.value.cells).toBe(0);
    expect(s.value.reference.map((c) => c.length)).toEqual([0, 0]);
    expect([...s.value.low, ...s.value.high]).toEqual([-Infinity, -Infinity, Infinity, Infinity]);
  });

  it('names the variables that nothing was typed for', async () => {
    const r = await referenceCells([warmth(), rain(), height()], [site], zones, {
      kind: 'typed',
      sd: { rain: 40 },
    });
    expect(r).toMatchObject({ ok: false, failure: { code: 'variables', where: 'WARMTH, HEIGHT' } });
  });
});
