/**
 * A planting with several sites, sites as areas, and sites read from a later period, on rasters that are functions of the
 * place. Values are read anew here, and distances worked out by the formula: standard deviations are typed in, so that D² is
 * the sum of (difference / deviation)² / 2, and 1 - F for three degrees of freedom has a closed form.
 */
import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import type { Planting } from '../../src/domain/plan/schema.ts';
import { ringPlaces } from '../../src/domain/vetting/match/ring.ts';
import { surfaceKernel, surfaceSpec } from '../../src/domain/vetting/match/surface.ts';
import { sheet } from '../../src/domain/vetting/sheet.ts';
import type { Vetting } from '../../src/domain/vetting/vetting.ts';
import { atSites } from '../../src/jobs/handlers/atSites.ts';
import { editedCandidates } from '../../src/jobs/handlers/candidates.ts';
import type { Desk } from '../../src/jobs/handlers/desk.ts';
import { openVariables } from '../../src/jobs/handlers/openVariables.ts';
import { vet } from '../../src/jobs/handlers/vet.ts';
import { deskWith, gridOf, gridText } from './grids.ts';

const CELL = 0.02;
const WEST = -83;
const SOUTH = 38;
/** Two degrees by two; the middle of column 0, row 0 is 82.99 W, 39.99 N. */
const GRID = [WEST, SOUTH, CELL, 100, 100] as const;
const warmth = (c: number, r: number): number => 10 + 0.03 * r - 0.01 * c + 0.3 * Math.sin(c / 5);
const rain = (c: number, r: number): number => 1000 + 3 * c + 2 * r + 40 * Math.cos(r / 6);
const acid = (c: number, r: number): number => 5 + Math.sin((c + r) / 9);
const height = (c: number, r: number): number => 200 + 2 * c + r;
const later = (c: number, r: number): number => warmth(c, r) + 2.5 + 0.01 * r;
const FUNCTIONS = { warmth, rain, acid, height };

/** Bilinear among cell centres of the function. */
function at(f: (c: number, r: number) => number, lon: number, lat: number): number {
  const x = (lon - WEST) / CELL - 0.5;
  const y = (SOUTH + 100 * CELL - lat) / CELL - 0.5;
  const [c, r] = [Math.floor(x), Math.floor(y)];
  const [u, v] = [x - c, y - r];
  return (1 - v) * ((1 - u) * f(c, r) + u * f(c + 1, r)) + v * ((1 - u) * f(c, r + 1) + u * f(c + 1, r + 1));
}

const random = rng(77);
const TREES = Array.from({ length: 40 }, (_, i) => ({
  id: `T${i}`,
  lon: Number((WEST + 0.3 + 1.4 * random()).toFixed(6)),
  lat: Number((SOUTH + 0.3 + 1.4 * random()).toFixed(6)),
  accuracy: i % 2 === 0 ? 400 : 0,
}));
/** Some 100 km apart. */
const NORTH = { lon: -82.43, lat: 39.47, name: 'North' };
const FAR = { lon: -81.81, lat: 38.69, name: 'South' };
const SD = { warmth: 0.8, rain: 0.08, acid: 0.5 };

const layer = (id: string, definition: string, period = ''): object => ({
  ...{ id, definition, period, path: `${id}.asc`, crs: 'EPSG:4326' },
});
const NOW = '1991-2020';
const LATER = '2041-2070';
const FILES: Record<string, string> = {
  ...Object.fromEntries(
    Object.entries({ ...FUNCTIONS, later }).map(([name, f]) => [`${name}.asc`, gridText(gridOf(GRID, f))]),
  ),
  // Reaches as far south as 38.8 only.
  'rain-north.asc': gridText(gridOf([WEST, SOUTH + 0.8, CELL, 100, 60], rain)),
  'trees.csv':
    'id,species,lon,lat,accuracy_m\n' +
    TREES.map((t) => `${t.id},Quercus alba,${t.lon},${t.lat},${t.accuracy || ''}`).join('\n'),
};

async function vetted(
  more: Partial<Planting> = {},
  variables: string[] = ['warmth', 'rain', 'acid'],
): Promise<{ v: Vetting; desk: Desk; planting: Planting; plan: Parameters<typeof vet>[1] }> {
  const { desk, plan } = await deskWith(
    {
      layers: [
        layer('warmth', 'mean-annual-temperature', NOW),
        layer('rain', 'annual-precipitation', NOW),
        layer('acid', 'soil-ph'),
        layer('height', 'elevation'),
        layer('later', 'mean-annual-temperature', LATER),
        layer('rain-north', 'annual-precipitation', NOW),
        { id: 'trees', definition: 'candidates', path: 'trees.csv' },
      ] as never,
      plantings: [
        {
          ...{ id: 'p', title: 'P', species: 'Quercus alba', site: NORTH, moreSites: [FAR], variables },
          spread: { kind: 'typed', sd: { ...SD, 'rain-north': SD.rain } },
          ...more,
        },
      ],
    },
    FILES,
  );
  const [planting] = plan.plantings;
  const result = await vet(desk, plan, planting, 'k', {});
  if (!result.ok) throw new Error(`${result.failure.where} ${result.failure.what}`);
  return { v: result.value, desk, planting, plan };
}

/** 1 - F(x; 3), with the error function by its series. */
function tail3(x: number): number {
  const z = Math.sqrt(x / 2);
  let term = (2 * z) / Math.sqrt(Math.PI);
  let erf = 0;
  for (let n = 0; n < 300; n++) {
    erf += term / (2 * n + 1);
    term *= -(z * z) / (n + 1);
  }
  return 1 - erf + Math.sqrt((2 * x) / Math.PI) * Math.exp(-x / 2);
}
const values = (lon: number, lat: number): number[] => [
  at(warmth, lon, lat),
  Math.log(at(rain, lon, lat)),
  at(acid, lon, lat),
];
const d2 = (a: readonly number[], b: readonly number[]): number =>
  [SD.warmth, SD.rain, SD.acid].reduce((sum, sd, v) => sum + ((a[v] - b[v]) / sd) ** 2 / 2, 0);

describe('two sites a hundred kilometres apart', () => {
  it('a tree has to suit both: its match is the lesser, with parts and site of that one', async () => {
    const { v } = await vetted();
    const m = v.match;
    if (!m) throw new Error(v.notes.join(' '));
    const sites = [NORTH, FAR].map((s) => values(s.lon, s.lat));
    const worst = new Set<number>();
    TREES.forEach((tree, i) => {
      const here = values(tree.lon, tree.lat);
      const each = sites.map((s) => d2(here, s));
      const site = each[1] > each[0] ? 1 : 0;
      worst.add(site);
      expect(m.site[i]).toBe(site);
      expect(m.d2[i]).toBeCloseTo(each[site], 9);
      for (const s of [0, 1]) expect(m.bySite[s][i]).toBeCloseTo(tail3(each[s]), 8);
      expect(m.match[i]).toBe(Math.min(m.bySite[0][i], m.bySite[1][i]));
      expect(m.parts.reduce((sum, p) => sum + p[i], 0)).toBeCloseTo(m.d2[i], 9);
      expect(m.parts[1][i]).toBeCloseTo(((here[1] - sites[site][1]) / SD.rain) ** 2 / 2, 9);
    });
    expect([...worst].sort()).toEqual([0, 1]);
  });

  it('on the ring of its accuracy the lesser match counts at each place', async () => {
    const { v } = await vetted();
    const sites = [NORTH, FAR].map((s) => values(s.lon, s.lat));
    const least = (lon: number, lat: number): number =>
      tail3(Math.max(...sites.map((s) => d2(values(lon, lat), s))));
    TREES.forEach((tree, i) => {
      const ring = ringPlaces(
        Float64Array.of(tree.lon),
        Float64Array.of(tree.lat),
        Float64Array.of(tree.accuracy),
      );
      const around = Array.from(ring.lon, (lon, p) => least(lon, ring.lat[p]));
      const all = [least(tree.lon, tree.lat), ...around];
      expect(v.match?.low[i]).toBeCloseTo(Math.min(...all), 8);
      expect(v.match?.high[i]).toBeCloseTo(Math.max(...all), 8);
      expect(around).toHaveLength(tree.accuracy > 0 ? 12 : 0);
    });
  });

  it('the vetting, the command’s way of asking one site at a time and the surface agree', async () => {
    const { v, desk, planting, plan } = await vetted();
    const alone = await Promise.all(
      [NORTH, FAR].map(async (site) => (await vetted({ site, moreSites: [] })).v.match?.match ?? []),
    );
    TREES.forEach((_, i) => {
      expect(v.match?.bySite[0][i]).toBe(alone[0][i]);
      expect(v.match?.bySite[1][i]).toBe(alone[1][i]);
    });
    const readings = await atSites(desk, { layers: plan.layers, planting }, {});
    const variables = openVariables(desk, planting, plan.layers);
    if (!readings.ok || !variables.ok || !v.spread) throw new Error('not read');
    expect(readings.value).toEqual(v.sites.map((s) => s.reading));
    const out = new Float64Array(TREES.length);
    surfaceKernel(surfaceSpec(variables.value, v.spread, readings.value, 'k'))(
      v.match?.values.map((x) => Float64Array.from(x)) ?? [],
      out,
    );
    TREES.forEach((_, i) => {
      expect(out[i]).toBeCloseTo(v.match?.match[i] ?? NaN, 9);
    });
  });

  it('the sheet names the site it is about, and shows the other', async () => {
    const { v, desk, plan, planting } = await vetted();
    const joined = editedCandidates(desk, plan.candidates);
    if (!joined.ok || !v.match) throw new Error('no candidates');
    for (const row of [0, 7, 23]) {
      const s = sheet(v, joined.value.candidates, row, { overrides: planting.overrides });
      const names = ['North', 'South'];
      expect(s.match?.site).toBe(names[v.match.site[row]]);
      expect(s.match?.sites.map((x) => [x.name, x.match])).toEqual(
        names.map((name, k) => [name, v.match?.bySite[k][row]]),
      );
      expect(s.match?.variables[0].atSite).toBe(v.sites[v.match.site[row]].reading?.values[0]);
      expect(s.match?.groups.map((g) => g.role)).toEqual(['climate', 'soil']);
      expect(s.match?.groups.reduce((sum, g) => sum + g.part, 0)).toBeCloseTo(s.match?.d2 ?? NaN, 9);
      expect(s.match?.from).toContain('typed in');
      const km = s.match?.sites.map((x) => x.km) ?? [];
      expect(v.measures.distance[row]).toBe(Math.max(...km));
      const rule = s.findings.find((f) => f.rule === 'elevation');
      expect(names).toContain(rule?.site);
      expect(rule?.limit).toBe('within 150 m of the site');
    }
  });

  it('elevation: the site that differs most counts', async () => {
    const { v } = await vetted();
    const sites = [NORTH, FAR].map((s) => at(height, s.lon, s.lat));
    expect(v.sites.map((s) => s.elevation)).toEqual(sites.map((e) => expect.closeTo(e, 6) as number));
    const rule = v.findings.rules.find((r) => r.rule === 'elevation');
    TREES.forEach((tree, i) => {
      const each = sites.map((e) => at(height, tree.lon, tree.lat) - e);
      const worst = Math.abs(each[1]) > Math.abs(each[0]) ? 1 : 0;
      expect(rule?.sites?.site[i]).toBe(worst);
      expect(rule?.measure[i]).toBeCloseTo(each[worst], 6);
      expect(rule?.answer[i]).toBe(Math.abs(each[worst]) <= 150 ? 0 : 1);
    });
  });

  it('unknown at one site is unknown altogether, and the other is still shown', async () => {
    const { v } = await vetted({}, ['warmth', 'rain-north', 'acid']);
    expect(v.match?.match.every((x) => Number.isNaN(x))).toBe(true);
    const known = TREES.flatMap((t, i) => (t.lat > SOUTH + 0.85 ? [i] : []));
    expect(known.length).toBeGreaterThan(10);
    for (const i of known) expect(v.match?.bySite[0][i]).toBeGreaterThan(0);
    expect(v.notes.join('\n')).toContain('Match is unknown: Annual precipitation has no value at South.');
    const rule = v.findings.rules.find((r) => r.rule === 'match');
    expect(rule?.answer.every((a) => a === 2)).toBe(true);
    expect(v.standing.every((s) => s !== 0)).toBe(true);
    const neither = await vetted({ site: { ...FAR, name: 'A' } }, ['warmth', 'rain-north', 'acid']);
    expect(neither.v.match).toBeNull();
    expect(neither.v.sites[1].reading?.values[1]).toBeNaN();
    expect(neither.v.notes.join('\n')).toContain('Annual precipitation has no value at A.');
  });

  it('more sites than can be told apart are refused', async () => {
    await expect(vetted({ moreSites: Array.from({ length: 255 }, () => FAR) })).rejects.toThrow(
      'has 256 sites, and at most 255 can be compared',
    );
    expect(
      (await vetted({ moreSites: Array.from({ length: 254 }, () => FAR) })).v.match?.bySite,
    ).toHaveLength(255);
  });
});

describe('a site drawn as an area', () => {
  // The centres of columns 20 to 24 and of rows 30 to 39.
  const west = WEST + 20 * CELL + 0.003;
  const north = SOUTH + 2 - 30 * CELL - 0.003;
  const ring = [
    [west, north],
    [west, north - 10 * CELL],
    [west + 5 * CELL, north - 10 * CELL],
    [west + 5 * CELL, north],
    [west, north],
  ] as [number, number][];
  const site = { lon: west + 0.05, lat: north - 0.1, name: 'Field', area: [[ring]] };
  const cells = Array.from({ length: 50 }, (_, i) => [20 + (i % 5), 30 + Math.floor(i / 5)] as const);
  const mean = (f: (c: number, r: number) => number): number =>
    cells.reduce((sum, [c, r]) => sum + f(c, r), 0) / 50;

  it('has the mean of its cells, their range and their number; its elevation too', async () => {
    const { v } = await vetted({ site, moreSites: [] });
    const [{ reading, elevation }] = v.sites;
    expect(reading?.cells).toBe(50);
    [warmth, rain, acid].forEach((f, k) => {
      const all = cells.map(([c, r]) => Number(f(c, r)));
      expect(reading?.values[k]).toBeCloseTo(mean(f), 9);
      expect([reading?.low[k], reading?.high[k]]).toEqual([Math.min(...all), Math.max(...all)]);
    });
    expect(reading?.now).toEqual(reading?.values);
    expect(elevation).toBeCloseTo(mean(height), 9);
    // The logarithm is taken of the mean, not the mean of logarithms.
    const here = values(TREES[3].lon, TREES[3].lat);
    expect(v.match?.d2[3]).toBeCloseTo(d2(here, [mean(warmth), Math.log(mean(rain)), mean(acid)]), 9);
  });

  it('between the centres of cells it has the values of its point', async () => {
    const small: [number, number][] = [
      [-82.488, 39.492],
      [-82.488, 39.498],
      [-82.482, 39.498],
      [-82.482, 39.492],
      [-82.488, 39.492],
    ];
    const { v } = await vetted({
      site: { lon: -82.485, lat: 39.495, name: '', area: [[small]] },
      moreSites: [],
    });
    const [{ reading, elevation, name }] = v.sites;
    expect([reading?.cells, name]).toEqual([0, 'Planting site']);
    expect(reading?.values[0]).toBeCloseTo(at(warmth, -82.485, 39.495), 9);
    expect(reading?.low).toEqual(reading?.values);
    expect(elevation).toBeCloseTo(at(height, -82.485, 39.495), 9);
  });

  it('partly off a layer it is told; over half of it off, its match is unknown', async () => {
    const lift = (degrees: number): Planting['site'] => ({
      ...site,
      lat: site.lat + degrees,
      area: [[ring.map(([x, y]) => [x, y + degrees] as [number, number])]],
    });
    // Six of ten rows stay on it, then four.
    const some = await vetted({ site: lift(0.68), moreSites: [] });
    expect(some.v.sites[0].reading?.cells).toBe(30);
    expect(some.v.notes.join('\n')).toContain('20 of 50 cells of the planting site have no value');
    expect(some.v.match?.match[0]).not.toBeNaN();
    const few = await vetted({ site: lift(0.72), moreSites: [] });
    expect(few.v.match).toBeNull();
    expect(few.v.notes.join('\n')).toContain('has a value in only 20 of the 50 cells of the planting site');
    expect(few.v.sites[0].elevation).toBeNaN();
  });

  it('across the 180th meridian is refused with a sentence, and the rest of the vetting stands', async () => {
    const area = [
      [
        [
          [179, 39],
          [-179, 39],
          [-179, 40],
          [179, 39],
        ] as [number, number][],
      ],
    ];
    const { v } = await vetted({ site: { ...site, area }, moreSites: [] });
    expect(v.match).toBeNull();
    expect(v.sites[0].elevation).toBeNaN();
    expect(v.notes.join('\n')).toMatch(/crosses the 180th meridian\. Cut it into two/);
    expect(v.standing).toHaveLength(TREES.length);
  });

  it('is read once and again only when the outline is another', async () => {
    const { desk, plan, planting } = await vetted({ site, moreSites: [] });
    const kept = [...desk.memo.keys()].filter((k) => k.startsWith('area of '));
    expect(kept).toHaveLength(4);
    const first = await atSites(desk, { layers: plan.layers, planting }, {});
    const moved = { ...site, area: [[ring.map(([x, y]) => [x + CELL, y] as [number, number])]] };
    const second = await atSites(desk, { layers: plan.layers, planting: { ...planting, site: moved } }, {});
    if (!first.ok || !second.ok) throw new Error('not read');
    expect(second.value[0].values[1]).toBeCloseTo(first.value[0].values[1] + 3, 9);
    expect([...desk.memo.keys()].filter((k) => k.startsWith('area of '))).toHaveLength(4);
  });
});

describe('sites read from a later period', () => {
  it('the difference is from the later value; what the site has now is told beside it', async () => {
    const { v, desk, plan } = await vetted({ sitePeriod: LATER }, ['warmth', 'acid']);
    const m = v.match;
    const joined = editedCandidates(desk, plan.candidates);
    if (!m || !joined.ok) throw new Error(v.notes.join(' '));
    [NORTH, FAR].forEach((s, k) => {
      expect(v.sites[k].reading?.values[0]).toBeCloseTo(at(later, s.lon, s.lat), 9);
      expect(v.sites[k].reading?.now[0]).toBeCloseTo(at(warmth, s.lon, s.lat), 9);
      expect(v.sites[k].reading?.now[1]).toBe(v.sites[k].reading?.values[1]);
    });
    const s = sheet(v, joined.value.candidates, 5);
    const [warm, ph] = s.match?.variables ?? [];
    const site = [NORTH, FAR][m.site[5]];
    expect([warm.period, warm.sitePeriod, ph.period, ph.sitePeriod]).toEqual([NOW, LATER, '', '']);
    expect(warm.difference).toBeCloseTo(
      at(warmth, TREES[5].lon, TREES[5].lat) - at(later, site.lon, site.lat),
      9,
    );
    expect(warm.atSiteNow).toBeCloseTo(at(warmth, site.lon, site.lat), 9);
    expect(ph.atSiteNow).toBeNaN();
  });

  it('a variable without a layer of that period leaves the match unknown, with its sentence', async () => {
    const { v } = await vetted({ sitePeriod: LATER });
    expect(v.match).toBeNull();
    expect(v.notes.join('\n')).toContain(
      `Match is unknown: Annual precipitation has no layer of the period ${LATER} for the site. Add it,`,
    );
  });

  it('a transform of the planting stands in place of the layer’s', async () => {
    const { v } = await vetted({ transforms: { rain: 'identity' }, moreSites: [] }, ['rain']);
    const difference = at(rain, TREES[0].lon, TREES[0].lat) - at(rain, NORTH.lon, NORTH.lat);
    expect(v.match?.d2[0]).toBeCloseTo((difference / SD.rain) ** 2 / 2, 4);
    expect(v.match?.variables[0].transform).toBe('identity');
  });
});
