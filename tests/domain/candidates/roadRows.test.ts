import { describe, expect, test } from 'vitest';
import { roadRows } from '../../../src/domain/candidates/roadRows.ts';
import { nearest, trackShapes } from '../../../src/domain/layers/nearest.ts';
import { at } from '../zones/grid.ts';
import { make, type Short } from './make.ts';

/** A road along the x axis with a bend at 400 m, and a second road far north. */
const roads = trackShapes([
  { lines: [[at(0, 0), at(200, 0), at(400, 0), at(600, 150)]], attributes: {} },
  { lines: [[at(0, 2_000), at(600, 2_000)]], attributes: {} },
]);

const tree = (x: number, y: number, more: Short = {}): Short => {
  const [lon, lat] = at(x, y);
  return { lon, lat, ...more };
};
const rows = (trees: readonly Short[]): number[] => {
  const c = make(trees);
  return [...roadRows(c, roads, nearest(roads, c.lon, c.lat, { reach: 5_000 })).trees];
};

describe('a row along a road', () => {
  test('four trees at one distance are a row, each with the number in it', () => {
    expect(rows([tree(10, 8), tree(30, 9), tree(50, 7.5), tree(70, 8)])).toEqual([4, 4, 4, 4]);
  });
  test('three are not', () => {
    expect(rows([tree(10, 8), tree(30, 8), tree(50, 8)])).toEqual([0, 0, 0]);
  });
  test('it follows the bend of the road', () => {
    // Unit normal of the second leg (200, 150): (-0.6, 0.8).
    const leg = (s: number): Short => tree(400 + 0.8 * s - 0.6 * 8, 0.6 * s + 0.8 * 8);
    expect(rows([tree(340, 8), tree(370, 8), leg(8), leg(40)])).toEqual([4, 4, 4, 4]);
  });
  test('both sides of the road are two rows', () => {
    expect(rows([tree(10, 8), tree(30, -8), tree(50, 8), tree(70, -8)])).toEqual([0, 0, 0, 0]);
  });
  test('a gap of more than 40 m ends it', () => {
    expect(rows([tree(10, 8), tree(30, 8), tree(50, 8), tree(91, 8)])).toEqual([0, 0, 0, 0]);
    expect(rows([tree(10, 8), tree(30, 8), tree(50, 8), tree(89, 8)])).toEqual([4, 4, 4, 4]);
  });
  test('distances from the road may differ by 6 m, not more', () => {
    expect(rows([tree(10, 5), tree(30, 10.9), tree(50, 8), tree(70, 6)])).toEqual([4, 4, 4, 4]);
    expect(rows([tree(10, 5), tree(30, 11.2), tree(50, 8), tree(70, 6)])).toEqual([0, 0, 0, 0]);
  });
  test('only trees of the species', () => {
    expect(rows([tree(10, 8), tree(30, 8, { species: 'bur oak' }), tree(50, 8), tree(70, 8)])).toEqual([
      0, 0, 0, 0,
    ]);
  });
  test('further than 60 m from the road it is no street row', () => {
    expect(rows([10, 30, 50, 70].map((x) => tree(x, 61)))).toEqual([0, 0, 0, 0]);
    expect(rows([10, 30, 50, 70].map((x) => tree(x, 59)))).toEqual([4, 4, 4, 4]);
  });
  test('a strip of a stand is no row', () => {
    const stand = [10, 30, 50, 70].flatMap((x) => [tree(x, 8), tree(x + 5, 16), tree(x + 11, 24)]);
    expect(new Set(rows(stand))).toEqual(new Set([0]));
  });
  test('a poor position cannot show it; the others may still be a row', () => {
    const five = [10, 30, 50, 70, 90].map((x, i) => tree(x, 8, { accuracy: i === 4 ? 25 : 5 }));
    expect(rows(five)).toEqual([4, 4, 4, 4, NaN]);
  });
  test('a repeated record counts once and shares the answer', () => {
    const three = [10, 30, 50].map((x) => tree(x, 8));
    expect(rows([...three, tree(51, 8)])).toEqual([0, 0, 0, 0]);
    expect(rows([...three, tree(70, 8), tree(71, 8)])).toEqual([4, 4, 4, 4, 4]);
  });
  test('without a road in reach nothing is known', () => {
    const c = make([tree(0, 900_000)]);
    expect(roadRows(c, roads, nearest(roads, c.lon, c.lat, { reach: 1_000 })).trees[0]).toBeNaN();
  });
});
