import { describe, expect, it } from 'vitest';
import { geodesicDirect } from '../../../../src/domain/base/geodesy.ts';
import { rng, shuffle } from '../../../../src/domain/base/rng.ts';
import { Cancelled } from '../../../../src/domain/base/work.ts';
import type { Candidates } from '../../../../src/domain/candidates/candidates.ts';
import { groups } from '../../../../src/domain/candidates/pattern/groups.ts';
import { patternView } from '../../../../src/domain/candidates/pattern/patternView.ts';
import { structureOf } from '../../../../src/domain/candidates/pattern/structure.ts';
import { PATTERN_VERDICTS } from '../../../../src/domain/candidates/pattern/types.ts';
import { make, type Short } from '../make.ts';

const ORIGIN = { lon: -84.5, lat: 38.2 };
/** A place so many metres east and north of the origin. */
const at = (east: number, north: number): { lon: number; lat: number } => {
  const up = geodesicDirect(ORIGIN.lon, ORIGIN.lat, 0, north);
  return geodesicDirect(up.lon, up.lat, 90, east);
};
const trees = (places: ReadonlyArray<readonly [number, number]>, more: Omit<Short, 'id'> = {}): Short[] =>
  places.map(([x, y]) => ({ ...at(x, y), ...more }));
const rowsOf = (c: Candidates, link = 60): number[][] => groups(c, link).map((g) => [...g.rows]);
const verdicts = async (c: Candidates): Promise<string[]> =>
  Array.from((await structureOf(c, 60, {})).pattern, (p) => PATTERN_VERDICTS[p] ?? '-');
const row = (n: number, step: number, north = 0): [number, number][] => Array.from({ length: n }, (_, i) => [step * i, north]); // prettier-ignore
const square = (west: number, south: number, side: number) => [
  [[...corners(west, south, side), corners(west, south, side)[0]]],
];
const corners = (west: number, south: number, side: number): [number, number][] =>
  [[0, 0], [side, 0], [side, side], [0, side]].map(([x, y]) => { const p = at(west + x, south + y); return [p.lon, p.lat]; }); // prettier-ignore

describe('groups', () => {
  it('link trees of one species by steps, as brute force does (seed 31)', () => {
    const random = rng(31);
    const kinds = ['Quercus alba', 'Quercus rubra', 'Quercus alba × Quercus bicolor', 'some oak'];
    const c = make(Array.from({ length: 160 }, (_, i) => ({ ...at(240 * random(), 240 * random()), species: kinds[i % 4], dbh: 20 + i }))); // prettier-ignore
    const found = rowsOf(c, 30);
    const name = new Int32Array(c.n).map((_, i) => i);
    const root = (i: number): number => (name[i] === i ? i : root(name[i]));
    for (let i = 0; i < c.n; i++)
      for (let j = 0; j < i; j++) {
        const near = Math.hypot((c.lon[i] - c.lon[j]) * 87_500, (c.lat[i] - c.lat[j]) * 111_000);
        // Pairs at the very limit hang on the last digits of the frame.
        expect(Math.abs(near - 30)).toBeGreaterThan(0);
        if (i % 4 === j % 4 && near < 30 * 1.0015 && c.duplicateOf[i] < 0 && c.duplicateOf[j] < 0) name[root(i)] = root(j); // prettier-ignore
      }
    const expected = new Map<number, number[]>();
    for (let i = 0; i < c.n; i++) {
      if (c.duplicateOf[i] >= 0) continue;
      expected.set(root(i), [...(expected.get(root(i)) ?? []), i]);
    }
    expect(found).toEqual([...expected.values()].sort((a, b) => a[0] - b[0]));
    expect(found.some((g) => g.length > 3)).toBe(true);
  });

  it('leave out repeats and poor positions; those wider than 250 m are cut into equal parts', () => {
    const c = make([
      ...trees(row(5, 20)),
      ...trees([[40, 2]]), // within 5 m of the third: the same tree
      ...trees([[50, 15]], { accuracy: 25 }),
      ...trees([[60, 15]], { accuracy: 8 }),
    ]);
    expect(c.duplicateOf[5]).toBe(2);
    expect(rowsOf(c)).toEqual([[0, 1, 2, 3, 4, 7]]);
    const avenue = rowsOf(make(trees(row(39, 15))));
    expect(avenue.map((g) => g.length)).toEqual([13, 13, 13]);
    // More than 250 m links nothing that 250 does not.
    expect(rowsOf(make(trees([[0, 0], [260, 0]])), 5000)).toEqual([[0], [1]]); // prettier-ignore
  });

  it('hold the trees of a stand together: by its outline, or by its name where it is small', () => {
    const inStand = trees([[10, 10], [90, 95], [50, 40]]); // prettier-ignore
    const c = make([
      ...inStand,
      ...trees([[200, 0]], { text: { stand: 'east lot' } }),
      ...trees([[290, 0]], { text: { stand: 'east lot' } }),
      ...trees([[0, 900]], { text: { stand: 'the forest' } }),
      ...trees([[0, 1900]], { text: { stand: 'the forest' } }),
      { ...at(50, 50), id: 'S1', accuracy: 70, text: { stand: 'glade' } },
    ]);
    const stands = new Map([[7, { outline: square(0, 0, 100), area: 10_000 }]]);
    const found = groups({ ...c, stands }, 30);
    expect(found.map((g) => [[...g.rows], g.stand, g.outline])).toEqual([
      [[0, 1, 2], 'glade', 7],
      [[3, 4], 'east lot', -1],
      [[5], '', -1],
      [[6], '', -1],
    ]);
  });
});

describe('structure', () => {
  it('gives every tree the verdict of its group; a repeat that of the tree it repeats', async () => {
    const c = make([
      ...trees(row(11, 12), { dbh: 40 }),
      ...trees([[24.5, 1]], { dbh: 40 }),
      ...trees(row(6, 20, 3000)),
      ...trees([[0, 0]], { accuracy: 30, species: 'Quercus rubra' }),
    ]);
    expect(c.duplicateOf[11]).toBe(2);
    const { group, pattern, diameterSpread } = await structureOf(c, 60, {});
    expect([...group]).toEqual([...new Array<number>(12).fill(0), ...new Array<number>(6).fill(1), -1]);
    expect(Array.from(pattern, (p) => PATTERN_VERDICTS[p])).toEqual([
      ...new Array<string>(12).fill('regular'),
      ...new Array<string>(6).fill('too few'),
      undefined,
    ]);
    expect(diameterSpread[0]).toBe(0);
    expect(diameterSpread[12]).toBeNaN();
  });

  it('is the same whatever the order of the candidates (seed 32)', async () => {
    const random = rng(32);
    const records = [
      ...trees(Array.from({ length: 40 }, () => [150 * random(), 150 * random()]), { dbh: 30 }),
      ...trees(Array.from({ length: 25 }, (_, i) => [400 + 12 * (i % 5), 12 * Math.floor(i / 5)])),
    ].map((r, i) => ({ ...r, id: `t${i}`, dbh: 20 + (i * 7) % 30 })); // prettier-ignore
    const straight = make(records);
    const mixed = make(shuffle([...records], random));
    const a = await verdicts(straight);
    const b = await verdicts(mixed);
    expect(straight.duplicateOf.every((d) => d < 0)).toBe(true);
    expect(mixed.id.map((id) => a[Number(id.slice(1))])).toEqual(b);
    expect(new Set(a)).toEqual(new Set(['random', 'regular']));
  });

  it('can be stopped', async () => {
    const random = rng(33);
    const c = make(trees(Array.from({ length: 3000 }, () => [3000 * random(), 3000 * random()])));
    await expect(structureOf(c, 250, { pause: () => Promise.reject(new Cancelled()) })).rejects.toThrow(Cancelled); // prettier-ignore
  });
});

describe('the view of a pattern', () => {
  const grid = trees(Array.from({ length: 25 }, (_, i) => [15 * (i % 5), 15 * Math.floor(i / 5)])).map((r, i) => ({ ...r, dbh: 30 + i })); // prettier-ignore

  it('draws the group that the columns say, with its simulations', async () => {
    const c = make([...grid, ...trees([[0, 2]], { dbh: 30 })]);
    const view = patternView(c, 25, 60);
    if (!view) throw new Error('a group was expected');
    expect([...view.trees]).toEqual(Array.from({ length: 25 }, (_, i) => i));
    expect(view.verdict).toBe((await verdicts(c))[0]);
    expect([view.verdict, view.rows?.order, view.simulations, view.windowKnown]).toEqual(['regular', 4, 999, false]); // prettier-ignore
    expect(view.link).toBe(60);
    expect(view.diameters).toMatchObject({ known: 25, mean: 42 });
    // Metres east and north of the middle.
    expect(view.x[0]).toBeCloseTo(-30, 1);
    expect(view.y[24]).toBeCloseTo(30, 1);
    for (let i = 0; i < 25; i++)
      for (const j of view.neighbours.subarray(2 * i, 2 * i + 2))
        expect(Math.hypot(view.x[j] - view.x[i], view.y[j] - view.y[i])).toBeCloseTo(15, 1);
    expect(view.rose.reduce((a, b) => a + b)).toBe(50);
    const { width, trees: bars, mean, low, high } = view.histogram;
    expect(bars.reduce((a, b) => a + b)).toBe(25);
    expect(bars[Math.floor(14.99 / width)] + (bars[Math.floor(15.01 / width)] ?? 0)).toBeGreaterThanOrEqual(
      25,
    );
    expect(mean.reduce((a, b) => a + b)).toBeCloseTo(25, 9);
    mean.forEach((m, k) => expect(m >= low[k] - 1 && m <= high[k] + 1).toBe(true));
    const [ring] = view.outline[0];
    expect(ring).toHaveLength(view.window.polygons[0][0].length);
    expect(Math.abs(ring[0].lat - ORIGIN.lat)).toBeLessThan(0.002);
  });

  it('takes the outline of a stand for its window, and is null for a tree by itself or of poor position', () => {
    const c = make([...grid, { ...at(37, 37), accuracy: 90, text: { name: 'Glade' } }, ...trees([[900, 0]]), ...trees([[10, 7]], { accuracy: 50 })]); // prettier-ignore
    const held = { ...c, stands: new Map([[25, { outline: square(-20, -20, 100), area: 10_000 }]]) };
    const view = patternView(held, 3, 60);
    expect(view?.windowKnown).toBe(true);
    expect(view?.stand).toBe('Glade');
    expect(view?.link).toBeNaN();
    expect(view?.window.area).toBeCloseTo(10_000, -2);
    expect([25, 26, 27].map((i) => patternView(held, i, 60))).toEqual([null, null, null]);
  });

  it('has no simulations of too few trees', () => {
    const view = patternView(make(trees(row(4, 10))), 0, 60);
    expect([view?.verdict, view?.simulations, view?.rows]).toEqual(['too few', 0, null]);
    expect(view?.histogram.trees.reduce((a, b) => a + b)).toBe(4);
  });
});
