/** The parts of the pattern against brute force. Seeds are fixed and in the names of the tests. */
import { describe, expect, it } from 'vitest';
import { rng } from '../../../../src/domain/base/rng.ts';
import { chiSquareTail } from '../../../../src/domain/base/statistics.ts';
import { alongPath } from '../../../../src/domain/candidates/pattern/alongPath.ts';
import { arrange } from '../../../../src/domain/candidates/pattern/arrange.ts';
import { convexHull } from '../../../../src/domain/candidates/pattern/convexHull.ts';
import { evenness } from '../../../../src/domain/candidates/pattern/evenness.ts';
import { hullWindow } from '../../../../src/domain/candidates/pattern/hullWindow.ts';
import { keptApart } from '../../../../src/domain/candidates/pattern/keptApart.ts';
import { neighbours, neighboursFor } from '../../../../src/domain/candidates/pattern/neighbours.ts';
import { planeWindow } from '../../../../src/domain/candidates/pattern/planeWindow.ts';
import { polynomials } from '../../../../src/domain/candidates/pattern/polynomial.ts';
import { drawnOnce, randomPlaces } from '../../../../src/domain/candidates/pattern/randomPlaces.ts';
import { rowStrengths } from '../../../../src/domain/candidates/pattern/rowStrengths.ts';
import { treeLine } from '../../../../src/domain/candidates/pattern/treeLine.ts';
import { within } from '../../../../src/domain/candidates/pattern/within.ts';
import { along, places, planted, rectangle, scattered, type Places } from './patterns.ts';

const sorted = ({ x, y }: Places): Places => {
  const order = Array.from(x.keys()).sort((i, j) => x[i] - x[j] || y[i] - y[j]);
  return places(order.map((i) => [x[i], y[i]]));
};
/** A window with a hole and a second part, sides slanted and level. */
const holed = planeWindow([
  [
    [[0, 0], [40, 0], [50, 30], [10, 30], [0, 0]],
    [[15, 10], [30, 10], [30, 20], [15, 20], [15, 10]],
  ],
  [[[60, 5], [70, 5], [65, 25], [60, 5]]],
]); // prettier-ignore

describe('convex hull', () => {
  it('has every other point to the left of each side (seed 1)', () => {
    const random = rng(1);
    for (let round = 0; round < 100; round++) {
      // Whole numbers: points on sides, and repeated ones.
      const n = 3 + Math.floor(random() * 20);
      const { x, y } = sorted(
        places(Array.from({ length: n }, () => [Math.floor(random() * 6), Math.floor(random() * 6)])),
      );
      const corners = new Int32Array(2 * n);
      const count = convexHull(x, y, corners);
      const ring = Array.from(corners.subarray(0, count));
      for (let k = 0; k < count && count > 2; k++) {
        const [a, b, c] = [ring[k], ring[(k + 1) % count], ring[(k + 2) % count]];
        const turn = (i: number): number => (x[b] - x[a]) * (y[i] - y[a]) - (y[b] - y[a]) * (x[i] - x[a]);
        expect(turn(c)).toBeGreaterThan(0);
        expect(Math.min(...Array.from(x.keys(), turn))).toBeGreaterThanOrEqual(0);
      }
      const flat = Array.from(x.keys()).every((i) => (x[n - 1] - x[0]) * (y[i] - y[0]) === (y[n - 1] - y[0]) * (x[i] - x[0])); // prettier-ignore
      expect(count > 2).toBe(!flat);
    }
  });

  it('spread outward is on average about as large as the ground (Ripley & Rasson 1977; seed 2)', () => {
    const random = rng(2);
    for (const [n, tolerance] of [
      [10, 0.2],
      [40, 0.05],
    ] as const) {
      let sum = 0;
      for (let i = 0; i < 800; i++) {
        const { x, y } = sorted(scattered(random, n, 3, 1));
        sum += hullWindow(x, y).area / 3;
      }
      expect(Math.abs(sum / 800 - 1)).toBeLessThan(tolerance);
    }
  });
});

describe('neighbours', () => {
  it('are the two nearest by brute force (seed 3)', () => {
    const random = rng(3);
    for (const n of [1, 2, 3, 8, 60]) {
      const { x, y } = sorted(scattered(random, n, 100, 30));
      const found = neighboursFor(n);
      neighbours(x, y, found);
      for (let i = 0; i < n; i++) {
        const others = Array.from(x.keys())
          .filter((j) => j !== i)
          .sort((a, b) => Math.hypot(x[a] - x[i], y[a] - y[i]) - Math.hypot(x[b] - x[i], y[b] - y[i]));
        expect([...found.two.subarray(2 * i, 2 * i + 2)]).toEqual([others[0] ?? -1, others[1] ?? -1]);
        if (n > 1)
          expect(found.squared[i]).toBeCloseTo((x[others[0]] - x[i]) ** 2 + (y[others[0]] - y[i]) ** 2, 9);
      }
    }
  });

  it('show full strength of the order of each lattice, and the same by trigonometry (seed 4)', () => {
    const strengths = ({ x, y }: Places): number[] => {
      const near = neighboursFor(x.length);
      neighbours(x, y, near);
      const out = new Float64Array(3);
      rowStrengths(x, y, near, out);
      const [cos, sin] = [[0, 0, 0], [0, 0, 0]]; // prettier-ignore
      near.two.forEach((j, k) => {
        const t = Math.atan2(y[j] - y[k >> 1], x[j] - x[k >> 1]);
        [2, 4, 6].forEach((order, o) => {
          cos[o] += Math.cos(order * t) / near.two.length;
          sin[o] += Math.sin(order * t) / near.two.length;
        });
      });
      out.forEach((s, o) => expect(s).toBeCloseTo(Math.hypot(cos[o], sin[o]), 12));
      return [...out];
    };
    const random = rng(4);
    strengths(sorted(scattered(random, 30, 10, 10)));
    expect(strengths(sorted(planted(random, [9, 1], [10, 10], 0, 0)))[0]).toBeCloseTo(1, 12);
    expect(strengths(sorted(planted(random, [5, 5], [10, 10], 0, 0)))[1]).toBeCloseTo(1, 12);
    expect(strengths(sorted(planted(random, [5, 5], [10, 5 * Math.sqrt(3)], 0.5, 0)))[2]).toBeCloseTo(1, 9);
  });
});

describe('random places', () => {
  it('lie in a window with a hole and a second part, equally dense everywhere, sorted (seed 5)', () => {
    const random = rng(5);
    const n = 20_000;
    const [x, y] = [new Float64Array(n), new Float64Array(n)];
    randomPlaces(holed)(random, x, y);
    expect(drawnOnce(holed)).toBe(true);
    expect(holed.area).toBeCloseTo(1200 - 150 + 100, 9);
    const counts = new Map<string, number>();
    let wrong = 0;
    for (let i = 0; i < n; i++) {
      if (!within(holed, x[i], y[i]) || (i > 0 && x[i] < x[i - 1])) wrong++;
      const cell = `${Math.floor(x[i] / 5)} ${Math.floor(y[i] / 5)}`;
      counts.set(cell, (counts.get(cell) ?? 0) + 1);
    }
    expect(wrong).toBe(0);
    // Cells of 5 m that lie wholly inside: their counts against equal ones.
    const whole = [...counts].filter(([cell]) => {
      const [cx, cy] = cell.split(' ').map(Number);
      return [0.01, 1, 2, 3, 4, 4.99].every((dx) =>
        [0.01, 1, 2, 3, 4, 4.99].every((dy) => within(holed, 5 * cx + dx, 5 * cy + dy)),
      );
    });
    const expected = (n * 25) / holed.area;
    const chi = whole.reduce((s, [, count]) => s + (count - expected) ** 2 / expected, 0);
    expect(whole.length).toBeGreaterThan(20);
    expect(chiSquareTail(chi, whole.length)).toBeGreaterThan(0.001);
  });

  it('are kept apart where asked, sorted still (seed 6)', () => {
    const [x, y] = [new Float64Array(40), new Float64Array(40)];
    keptApart(randomPlaces(rectangle(100, 100)), 8)(rng(6), x, y);
    let wrong = 0;
    for (let i = 0; i < 40; i++)
      for (let j = 0; j < i; j++) {
        if (x[i] < x[j] || Math.hypot(x[i] - x[j], y[i] - y[j]) < 8) wrong++;
      }
    expect(wrong).toBe(0);
  });

  it('are asked for only in windows that are drawn once', () => {
    const crossed = planeWindow([[[[0, 0], [10, 0], [10, 10], [5, -5], [0, 10], [0, 0]]]]); // prettier-ignore
    const twice = planeWindow([...rectangle(10, 10).polygons, ...rectangle(4, 4).polygons]);
    expect([crossed, twice, rectangle(3, 2)].map(drawnOnce)).toEqual([false, false, true]);
  });

  it('on the edge count as inside the window', () => {
    for (const [x, y] of [[0, 0], [10, 5], [5, 10], [10, 10]]) expect(within(rectangle(10, 10), x, y)).toBe(true); // prettier-ignore
    expect(within(rectangle(10, 10), 10.001, 5)).toBe(false);
    expect(within(holed, 20, 15)).toBe(false);
  });
});

describe('lines of trees', () => {
  it('are walked through from end to end', () => {
    const bent = places([[0, 0], [0, 10], [4, 12], [5, 20], [10, 20], [20, 21]]); // prettier-ignore
    const path = alongPath(bent.x, bent.y);
    // 4, 12 hangs between its neighbours; the way has no other ends.
    expect([...path].sort((a, b) => a - b)).toEqual([...path].every((p, i) => i === 0 || p > path[i - 1]) ? [...path] : [...path].reverse()); // prettier-ignore
    expect(Math.max(...path)).toBeCloseTo(
      10 + Math.hypot(4, 2) + Math.hypot(1, 8) + 5 + Math.hypot(10, 1),
      9,
    );
  });

  it('are told from trees about in two directions (seed 7)', () => {
    const random = rng(7);
    const found = (make: () => Places): number => {
      let lines = 0;
      for (let i = 0; i < 100; i++) {
        const p = make();
        const { x, y } = arrange(p.x, p.y);
        if (treeLine(x, y)) lines++;
      }
      return lines;
    };
    expect(found(() => scattered(random, 12, 100, 100))).toBeLessThan(5);
    expect(found(() => scattered(random, 40, 100, 60))).toBe(0);
    expect(found(() => along(random, 12, 5, (s) => [200 * s, 0]))).toBe(100);
    expect(found(() => along(random, 15, 5, (s) => [200 * s, 40 * Math.sin(3 * s)]))).toBeGreaterThan(80);
    expect(
      found(() => along(random, 15, 4, (s) => [95 * Math.cos(Math.PI * s), 95 * Math.sin(Math.PI * s)])),
    ).toBeGreaterThan(90);
    expect(found(() => planted(random, [11, 1], [12, 12], 0, 0))).toBe(100);
  });

  it('polynomials through points of a cubic are that cubic', () => {
    const t = Float64Array.from({ length: 9 }, (_, i) => i / 4 - 1);
    const cubic = (u: number): number => 2 - u + 3 * u ** 2 + 0.5 * u ** 3;
    const [fit, flat] = polynomials(t, [t.map(cubic), t.map(() => 7)], 3);
    for (const u of [-1, -0.3, 0.9]) {
      expect(fit(u)).toBeCloseTo(cubic(u), 9);
      expect(flat(u)).toBeCloseTo(7, 9);
    }
    // Two places allow no more than a straight line.
    expect(polynomials(Float64Array.of(-1, 1), [Float64Array.of(0, 2)], 3)[0](0)).toBeCloseTo(1, 9);
  });

  it('have gaps whose evenness has the right p: uniform under chance, small when set out (seed 8)', () => {
    const random = rng(8);
    const chance = Array.from({ length: 1000 }, () => evenness(Float64Array.from({ length: 11 }, () => random()), 0, 999)); // prettier-ignore
    for (const level of [0.01, 0.1, 0.5])
      expect(Math.abs(chance.filter((p) => p <= level).length / 1000 - level)).toBeLessThan(4 * Math.sqrt((level * (1 - level)) / 1000)); // prettier-ignore
    const set = Float64Array.from({ length: 11 }, (_, i) => 12 * i + 3 * random());
    expect(evenness(set, 0, 999)).toBeLessThan(0.002);
    expect(evenness(set, 5, 999)).toBeLessThan(0.01);
    expect(evenness(Float64Array.of(0, 10, 11, 12, 40, 41, 90), 0, 999)).toBeGreaterThan(0.3);
  });
});
