/** The verbs `surface` and `zones` on the invented demo workspace. */
import { existsSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fromArrayBuffer } from 'geotiff';
import { beforeAll, describe, expect, it } from 'vitest';
import { zoneIndex } from '../../src/domain/layers/zones.ts';
import { openSource } from '../../src/io/read/formats.ts';
import type { Raster } from '../../src/io/read/rasters/raster.ts';
import { memorySource } from '../../src/io/source/memory.ts';
import { openZones } from '../../src/cli/zones.ts';
import { json, kinstand, workFolder } from './run.ts';

interface Demo {
  readonly layers: ReadonlyArray<{ readonly id: string; readonly definition: string; readonly path: string }>;
  readonly plantings: ReadonlyArray<{
    readonly id: string;
    readonly variables: readonly string[];
    readonly site: { readonly lon: number; readonly lat: number };
  }>;
}
interface Surface {
  readonly grid: { readonly width: number; readonly height: number; readonly cell_m: number };
  readonly cells_with_match: number;
  readonly cells_over_least: number;
  readonly share_over_least: number;
  readonly least: number;
  readonly best: number;
}
type Row = Readonly<Record<string, number>> & {
  readonly zone: string;
  readonly name: string;
  readonly contact: string;
};
interface Zones {
  readonly least: number;
  readonly step: number;
  readonly zones: readonly Row[];
}

const DEMO = 'demo-data/plan.json';
const plan = JSON.parse(readFileSync(DEMO, 'utf8')) as Demo;
const { dir, file } = workFolder('surface');

/** A plan like the demo's in a folder of its own, without the files beside it. */
function planWith(name: string, change: (p: Record<string, unknown> & Demo) => unknown): string {
  const copy = JSON.parse(readFileSync(DEMO, 'utf8')) as Record<string, unknown> & Demo;
  return file(name, JSON.stringify(change(copy)));
}

/** The same beside the demo's files. */
function planBeside(name: string, change: (p: Record<string, unknown> & Demo) => unknown): string {
  for (const { path } of plan.layers)
    if (!existsSync(join(dir, path))) symlinkSync(resolve('demo-data', path), join(dir, path));
  return planWith(name, change);
}

/** All cells of a raster that was written. */
async function cellsOf(path: string): Promise<{ raster: Raster; cells: Float64Array }> {
  const opened = await openSource(memorySource('match.tif', new Uint8Array(readFileSync(path))));
  if (!opened.ok || opened.value.content.kind !== 'raster') throw new Error('a raster was expected');
  const { raster } = opened.value.content;
  const n = raster.width * raster.height;
  const col = Float64Array.from({ length: n }, (_, i) => (i % raster.width) + 0.5);
  const row = Float64Array.from({ length: n }, (_, i) => Math.floor(i / raster.width) + 0.5);
  const read = await raster.sample(1, col, row, 'nearest');
  if (!read.ok) throw new Error(read.failure.what);
  return { raster, cells: read.value };
}

describe('surface', () => {
  const out = join(dir, 'match.tif');
  let told: Surface;
  let raster: Raster;
  let cells: Float64Array;
  let ranked: Zones;

  beforeAll(async () => {
    told = await json<Surface>('surface', DEMO, '--out', out);
    ranked = await json<Zones>('zones', DEMO);
    ({ raster, cells } = await cellsOf(out));
  }, 120_000);

  it('tells the grid, the cells with a match and the share of them over the rule’s limit, as the file has them', () => {
    expect([raster.width, raster.height]).toEqual([told.grid.width, told.grid.height]);
    expect(raster.cellMetres).toBeCloseTo(told.grid.cell_m, 6);
    const known = cells.filter((x) => !Number.isNaN(x));
    expect(known.length).toBeGreaterThan(10_000);
    expect(told.cells_with_match).toBe(known.length);
    expect(told.least).toBe(0.05);
    expect(told.cells_over_least).toBe(known.filter((x) => x >= 0.05).length);
    expect(told.share_over_least).toBeCloseTo(told.cells_over_least / known.length, 12);
    expect(told.best).toBe(Math.max(...known));
  });

  it('has in its cells what the verb `match` gives for their centres', async () => {
    const [planting] = plan.plantings;
    const places = Array.from({ length: 40 }, (_, i) => ({
      col: (7 + 29 * i) % raster.width,
      row: (11 + 53 * i) % raster.height,
    })).filter(({ col, row }) => !Number.isNaN(cells[row * raster.width + col]));
    expect(places.length).toBeGreaterThan(30);
    const at = raster.toPlace(
      Float64Array.from(places, (p) => p.col + 0.5),
      Float64Array.from(places, (p) => p.row + 0.5),
    );
    const points = file(
      'points.csv',
      ['id,lon,lat', ...places.map((_, i) => `${i},${at.lon[i]},${at.lat[i]}`)].join('\n'),
    );
    const paths = planting.variables.map((v) =>
      join('demo-data', plan.layers.find((l) => l.id === v)?.path ?? ''),
    );
    // Precipitation is compared by its logarithm.
    const log = planting.variables.findIndex((v) => v.startsWith('annual-precipitation')) + 1;
    const zones = join('demo-data', plan.layers.find((l) => l.definition === 'zones')?.path ?? '');
    const { points: matched } = await json<{ points: ReadonlyArray<{ match: number }> }>(
      ...['match', '--raster', ...paths, '--transform', `log:${log}`, '--zones', zones, '--points', points],
      `--site=${planting.site.lon},${planting.site.lat}`,
    );
    places.forEach(({ col, row }, i) =>
      expect(cells[row * raster.width + col]).toBeCloseTo(matched[i].match, 6),
    );
  });

  it('zones: each is listed, with the ground, the share and the best that its cells in the file have', async () => {
    const read = await openZones('demo-data/zones.fgb', 'zone');
    if (!read.ok) throw new Error(read.failure.what);
    const { zones } = read.value;
    expect(ranked.zones.map((z) => z.zone).sort()).toEqual(zones.map((z) => z.key).sort());
    expect(ranked.step).toBe(1);
    const { zoneOf } = zoneIndex(zones);
    // On an equal-area grid every cell is as large as any other.
    const km2 = (told.grid.cell_m / 1000) ** 2;
    const own = zones.map(() => ({ area: 0, known: 0, over: 0, best: NaN }));
    const n = cells.length;
    const at = raster.toPlace(
      Float64Array.from({ length: n }, (_, i) => (i % raster.width) + 0.5),
      Float64Array.from({ length: n }, (_, i) => Math.floor(i / raster.width) + 0.5),
    );
    for (let i = 0; i < n; i++) {
      const zone = zoneOf(at.lon[i], at.lat[i]);
      if (zone < 0) continue;
      own[zone].area += km2;
      if (Number.isNaN(cells[i])) continue;
      own[zone].known += km2;
      if (cells[i] >= 0.05) own[zone].over += km2;
      if (!(cells[i] <= own[zone].best)) own[zone].best = cells[i];
    }
    for (const [z, { area, known, over, best }] of own.entries()) {
      const row = ranked.zones.find((r) => r.zone === zones[z].key);
      if (!row) throw new Error(zones[z].key);
      // Figures have six digits; a centre on the very boundary may fall to either side.
      expect(Math.abs(row['known_km2'] - known), row.name).toBeLessThan(2 * km2);
      expect(Math.abs(row['over_km2'] - over), row.name).toBeLessThan(2 * km2);
      expect(row['area_km2'], row.name).toBeGreaterThan(area - 2 * km2);
      expect(row['share_over']).toBeCloseTo(row['over_km2'] / row['known_km2'], 4);
      expect(row['best_match']).toBeCloseTo(best, 4);
    }
    const shares = ranked.zones.map((z) => z['share_over']);
    expect(shares).toEqual([...shares].sort((a, b) => b - a));
  });

  it('zones: candidates are those of the species, counted by their standing in the vetting', async () => {
    const folder = join(dir, 'run');
    expect((await kinstand('run', DEMO, '--out', folder, '--planting', plan.plantings[0].id)).code).toBe(0);
    const [head, ...lines] = readFileSync(join(folder, 'vetting.csv'), 'utf8').trim().split('\r\n');
    const columns = head.split(',');
    const rows = lines.map(
      (line) => line.match(/("([^"]|"")*"|[^,]*)(,|$)/g)?.map((f) => f.replace(/,$/, '')) ?? [],
    );
    const cell = (row: readonly string[], name: string): string => row[columns.indexOf(name)] ?? '';
    for (const zone of ranked.zones) {
      const inIt = rows.filter(
        (r) => cell(r, 'zone') === zone.name && /^Quercus alba\b/.test(cell(r, 'species')),
      );
      expect(zone['candidates'], zone.name).toBe(inIt.length);
      expect(zone['eligible'], zone.name).toBe(inIt.filter((r) => cell(r, 'standing') === 'eligible').length);
    }
    expect(ranked.zones.filter((z) => z.contact === 'home')).toMatchObject([{ to_site_km: 0 }]);
    expect(ranked.zones.some((z) => z.contact === 'adjacent')).toBe(true);
  });

  it('zones: a higher threshold leaves less ground, and the table says the same as the JSON', async () => {
    const high = await json<Zones>('zones', DEMO, '--at', '0.5');
    expect(high.least).toBe(0.5);
    for (const zone of high.zones) {
      const before = ranked.zones.find((z) => z.zone === zone.zone);
      expect(zone['over_km2']).toBeLessThan(before?.['over_km2'] ?? 0);
      expect(zone['known_km2']).toBe(before?.['known_km2']);
    }
    const { out: text, code } = await kinstand('zones', DEMO, '--at', '0.5');
    expect(code).toBe(0);
    expect(text).toMatch(/^Invented demonstration data/);
    for (const zone of high.zones) {
      const line = text.split('\n').find((l) => l.startsWith(zone.name));
      expect(line).toContain(`${(100 * zone['share_over']).toFixed(1)} %`);
      expect(line).toContain(zone['over_km2'].toFixed(1));
    }
  });
});

describe('other plans', () => {
  const first = (p: Demo) => p.plantings[0];
  const surfaceOf = async (name: string, change: (q: Demo['plantings'][0]) => object) => {
    const file = planBeside(`${name}.json`, (p) => ({
      ...p,
      plantings: [{ ...first(p), ...change(first(p)) }],
    }));
    const out = join(dir, `${name}.tif`);
    await json('surface', file, '--out', out);
    return cellsOf(out);
  };

  it('with several sites a cell has its match with the one that it is least like', async () => {
    const other = { lon: -82.2, lat: 38.9, name: 'Second clearing' };
    const [one, two, both] = [
      await surfaceOf('one', () => ({})),
      await surfaceOf('two', () => ({ site: other })),
      await surfaceOf('both', () => ({ moreSites: [other] })),
    ];
    let differ = 0;
    for (const [i, x] of both.cells.entries()) {
      // NaN counts: Math.min keeps it.
      const least = Math.min(one.cells[i], two.cells[i]);
      if (Number.isNaN(least)) expect(x).toBeNaN();
      else if (Math.abs(x - least) > 1e-6) throw new Error(`cell ${i}: ${x}, not ${least}`);
      if (one.cells[i] !== two.cells[i]) differ++;
    }
    expect(differ).toBeGreaterThan(10_000);
  });

  it('the site in a later period is compared with cells of the present one', async () => {
    const now = await surfaceOf('now', () => ({}));
    const later = await surfaceOf('later', () => ({ sitePeriod: '2041-2070' }));
    const mean = (x: Float64Array): number => {
      const known = x.filter((v) => !Number.isNaN(v));
      return known.reduce((a, b) => a + b, 0) / known.length;
    };
    // Nowhere in this small country is it as warm as it will be.
    expect(mean(later.cells)).toBeLessThan(mean(now.cells) / 2);
    const image = await fromArrayBuffer(readFileSync(join(dir, 'later.tif')).buffer.slice(0)).then((t) =>
      t.getImage(),
    );
    const text = String(await image.fileDirectory.loadValue('GDAL_METADATA'));
    expect(text).toMatch(/Mean annual temperature, °C, 1991-2020, sites: 2041-2070;/);
  });

  it('zones are ranked where there are no candidates yet: their counts are not known', async () => {
    const file = planBeside('bare.json', (p) => ({
      ...p,
      layers: p.layers.filter((l) => l.definition !== 'candidates'),
      plantings: [first(p)],
    }));
    const { zones } = await json<Zones>('zones', file);
    expect(zones.length).toBe(8);
    for (const zone of zones) expect([zone['candidates'], zone['eligible']]).toEqual([null, null]);
    expect(zones.filter((z) => z.contact === 'home').length).toBe(1);
    const { out } = await kinstand('zones', file);
    expect(out).toMatch(/Figment Plateau +home .* - +- +0\.0$/m);
  });

  it('without zones there is a surface, its spread from a circle, but no ranking', async () => {
    const file = planBeside('zoneless.json', (p) => ({
      ...p,
      layers: p.layers.filter((l) => l.definition !== 'zones'),
      plantings: [first(p)],
    }));
    const { code, err } = await kinstand('zones', file);
    expect([code, err.trim()]).toEqual([2, 'Zones: are not open. Add a layer of zones in the Layers stage.']);
    const made = await json<{ spread: string }>('surface', file, '--out', join(dir, 'zoneless.tif'));
    expect(made.spread).toMatch(/within 50 km/);
  });

  it('a site off the layers is named with what is missing there', async () => {
    const file = planBeside('off.json', (p) => ({
      ...p,
      plantings: [{ ...first(p), moreSites: [{ lon: -90, lat: 45, name: 'Far bog' }] }],
    }));
    const { code, err } = await kinstand('surface', file, '--out', join(dir, 'off.tif'));
    expect(code).toBe(2);
    expect(err).toMatch(/^Far bog: has no value of Mean annual temperature\. Check where the site lies/);
    expect(existsSync(join(dir, 'off.tif'))).toBe(false);
  });
});

describe('what cannot be done is refused in a sentence', () => {
  const refused = async (...args: string[]): Promise<string> => {
    const { code, out, err } = await kinstand(...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err.trim().split('\n').length).toBe(1);
    return err.trim();
  };
  const tif = join(dir, 'none.tif');

  it('no variables', async () => {
    const bare = planWith('bare.json', (p) => ({
      ...p,
      plantings: p.plantings.map((q) => ({ ...q, variables: [] })),
    }));
    expect(await refused('surface', bare, '--out', tif)).toMatch(
      /no variable is chosen.*Choose at least one/,
    );
    expect(existsSync(tif)).toBe(false);
  });

  it('a layer whose file is not there', async () => {
    // In a folder of its own: other tests put the demo's files beside their plans.
    mkdirSync(join(dir, 'lost'));
    const lost = planWith('lost/plan.json', (p) => p);
    expect(await refused('surface', lost, '--out', tif)).toMatch(/\.tif: does not exist\. Check the path\.$/);
    expect(await refused('zones', lost)).toMatch(/does not exist/);
  });

  it('a file in a folder that is not there, or a folder in its place', async () => {
    expect(await refused('surface', DEMO, '--out', join(dir, 'nowhere', 'a.tif'))).toMatch(
      /cannot be written: its folder does not exist\. Make the folder/,
    );
    expect(await refused('surface', DEMO, '--out', dir)).toMatch(/is a folder/);
  });

  it('plans, plantings and thresholds that are not there', async () => {
    expect(await refused('surface', DEMO)).toMatch(/--out is missing/);
    expect(await refused('surface', '--out', tif)).toMatch(/needs one plan file/);
    expect(await refused('surface', DEMO, '--out', tif, '--planting', 'beech')).toMatch(
      /has no planting "beech"/,
    );
    expect(await refused('zones', DEMO, '--at', '1.5')).toMatch(/--at is "1\.5", not a number from 0 to 1/);
    expect(await refused('zones', join(dir, 'no-such-plan.json'))).toMatch(/does not exist/);
  });

  it('help says what comes out', async () => {
    for (const verb of ['surface', 'zones']) {
      const { code, out } = await kinstand(verb, '--help');
      expect(code).toBe(0);
      expect(out).toMatch(new RegExp(`^kinstand ${verb} PLAN`));
      expect(out).toMatch(/JSON: \{/);
    }
  });
});
