import { expect, test } from 'vitest';
import type { Polygon, Position } from 'geojson';
import { CORNER, CORNER_ONLY } from '../../demo-data/lib/zones.ts';
import { toLonLat } from '../../demo-data/lib/frame.ts';
import { bytesOf, features, grid, plan } from './files.ts';

const key = (p: Position): string => `${p[0]} ${p[1]}`;
const edgesOf = (ring: readonly Position[]): string[] =>
  ring.slice(1).map((p, k) => [key(ring[k]), key(p)].sort().join(' - '));

test('zones share their edges vertex for vertex, and exactly the two named pairs meet at one point only', async () => {
  const zones = (await features('zones.fgb')).map((f) => ({
    zone: String(f.properties?.['zone']),
    ring: (f.geometry as Polygon).coordinates[0],
  }));
  expect(zones.length).toBeGreaterThanOrEqual(7);
  const use = new Map<string, string[]>();
  for (const z of zones) for (const e of edgesOf(z.ring)) use.set(e, [...(use.get(e) ?? []), z.zone]);
  // An edge belongs to two zones, or to one when it lies on the border of the frame; never to more.
  expect(Math.max(...[...use.values()].map((u) => u.length))).toBe(2);
  const touching = new Set<string>();
  const bordering = new Set<string>();
  for (const a of zones)
    for (const b of zones) {
      if (a.zone >= b.zone) continue;
      const points = new Set(a.ring.map(key));
      if (b.ring.some((p) => points.has(key(p)))) touching.add(`${a.zone} ${b.zone}`);
      const edges = new Set(edgesOf(a.ring));
      if (edgesOf(b.ring).some((e) => edges.has(e))) bordering.add(`${a.zone} ${b.zone}`);
    }
  const cornerOnly = [...touching].filter((p) => !bordering.has(p));
  expect(cornerOnly.sort()).toEqual(CORNER_ONLY.map((p) => p.join(' ')).sort());
  const corner = key(toLonLat(CORNER));
  for (const name of CORNER_ONLY.flat())
    expect(zones.find((z) => z.zone === name)?.ring.map(key), name).toContain(corner);
});

test('the public roads are one connected network through shared vertices', async () => {
  const lines = (await features('roads.fgb'))
    .filter((f) => f.properties?.['access'] !== 'private')
    .map((f) => (f.geometry as { coordinates: Position[] }).coordinates.map(key));
  const parent = new Map<string, string>();
  const root = (a: string): string => {
    let at = a;
    while (parent.has(at)) at = parent.get(at) as string;
    return at;
  };
  for (const line of lines)
    for (const p of line) {
      const [a, b] = [root(line[0]), root(p)];
      if (a !== b) parent.set(b, a);
    }
  const sizes = new Map<string, number>();
  for (const line of lines) sizes.set(root(line[0]), (sizes.get(root(line[0])) ?? 0) + line.length);
  const all = [...sizes.values()].reduce((a, b) => a + b, 0);
  expect(Math.max(...sizes.values()) / all).toBeGreaterThan(0.97);
});

test('some thousands of buildings; every setting kind; one-way streets, unpaved and private roads', async () => {
  expect((await features('buildings.fgb')).length).toBeGreaterThan(3000);
  const kinds = new Set((await features('settings.fgb')).map((f) => String(f.properties?.['setting'])));
  expect([...kinds].sort()).toEqual([
    'burial ground',
    'campus',
    'old field',
    'orchard',
    'park',
    'street verge',
    'yard',
  ]);
  const roads = (await features('roads.fgb')).map((f) => f.properties ?? {});
  expect(roads.some((r) => r['oneway'] === 'yes')).toBe(true);
  expect(new Set(roads.map((r) => String(r['surface'])))).toEqual(new Set(['asphalt', 'gravel', 'dirt']));
  expect(new Set(roads.map((r) => String(r['access'])))).toEqual(new Set(['yes', 'private', 'permissive']));
});

test('it is colder and wetter higher up, and the later period is warmer', async () => {
  const z = await grid(bytesOf('elevation.tif'));
  const read = (name: string): Promise<{ values: ArrayLike<number> }> => grid(bytesOf(name));
  const now = await read('mean-annual-temperature-1991-2020.tif');
  const later = await read('mean-annual-temperature-2041-2070.tif');
  const rain = await read('annual-precipitation-1991-2020.tif');
  // Correlation with the elevation at the middle of each climate cell.
  const correlation = (values: ArrayLike<number>): number => {
    const pairs = Array.from({ length: 125 * 125 }, (_, i) => [
      z.values[(Math.floor(i / 125) * 16 + 8) * 2000 + (i % 125) * 16 + 8],
      values[i],
    ]).filter(([a, b]) => a > -1000 && b > -5000);
    const [ma, mb] = [0, 1].map((k) => pairs.reduce((s, p) => s + p[k], 0) / pairs.length);
    const sum = (f: (p: number[]) => number): number => pairs.reduce((s, p) => s + f(p), 0);
    return (
      sum((p) => (p[0] - ma) * (p[1] - mb)) /
      Math.sqrt(sum((p) => (p[0] - ma) ** 2) * sum((p) => (p[1] - mb) ** 2))
    );
  };
  expect(correlation(now.values)).toBeLessThan(-0.9);
  expect(correlation(rain.values)).toBeGreaterThan(0.3);
  for (let i = 0; i < 125 * 125; i++) expect((later.values[i] - now.values[i]) * 0.01).toBeGreaterThan(2);
});

test('no name of a place, person or institution lacks the mark of invention in the notice', () => {
  expect(plan.notice).toMatch(/places, owners, people and trees are made up/);
});
