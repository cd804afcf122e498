import { expect, test } from 'vitest';
import { nearPart } from '../../../src/domain/layers/nearPart.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { at } from '../zones/grid.ts';

const place = (x: number, y: number) => {
  const [lon, lat] = at(x, y);
  return { lon, lat };
};
/** Metres in the plane of the test grid. */
const [o, ux, uy] = [at(0, 0), at(1000, 0), at(0, 1000)];
const plane = ([lon, lat]: readonly [number, number]): [number, number] => [
  (1000 * (lon - o[0])) / (ux[0] - o[0]),
  (1000 * (lat - o[1])) / (uy[1] - o[1]),
];

test('a line is cut where it leaves the circle, and comes in again as another part', () => {
  const parts = nearPart([[at(-500, 0), at(500, 0), at(500, 50), at(-500, 50)]], place(0, 0), 100);
  expect(parts).toHaveLength(2);
  const [first, second] = parts.map((p) => p.map(plane));
  expect(first[0][0]).toBeCloseTo(-100, 0);
  expect(first[1][0]).toBeCloseTo(100, 0);
  // Half the chord at 50 m from the middle of a circle of 100 m: the square root of 7,500.
  expect(Math.abs(second[0][0])).toBeCloseTo(Math.sqrt(7500), 0);
});

test('what lies inside stays as it is, corners and all; what lies outside is left out', () => {
  const inside = [at(-20, 0), at(0, 30), at(40, 10)];
  expect(nearPart([inside, [at(300, 0), at(300, 300)]], place(0, 0), 100)).toEqual([inside]);
  expect(nearPart([[at(5, 5), at(5, 5)]], place(0, 0), 100)).toEqual([]);
});

test('every point of a line is in a part exactly if it is in the circle (seed 11)', () => {
  const random = rng(11);
  for (let round = 0; round < 60; round++) {
    const line = Array.from({ length: 6 }, () => at(400 * random() - 200, 400 * random() - 200));
    const parts = nearPart([line], place(0, 0), 100).map((p) => p.map(plane));
    for (let i = 1; i < line.length; i++) {
      const [a, b] = [plane(line[i - 1]), plane(line[i])];
      for (let t = 0.05; t < 1; t += 0.1) {
        const [x, y] = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
        const r = Math.hypot(x, y);
        if (Math.abs(r - 100) < 0.5) continue;
        const on = parts.some((p) => p.some((q, k) => k > 0 && toSegment(p[k - 1], q, x, y) < 0.01));
        expect([round, i, t, on]).toEqual([round, i, t, r < 100]);
      }
    }
  }
});

function toSegment(a: readonly number[], b: readonly number[], x: number, y: number): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const t = Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(a[0] + t * dx - x, a[1] + t * dy - y);
}
