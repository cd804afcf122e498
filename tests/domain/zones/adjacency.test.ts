import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adjacency } from '../../../src/domain/layers/adjacency.ts';
import type { Zone } from '../../../src/domain/layers/zones.ts';
import { box, dense, zone } from './grid.ts';

const contact = (zones: readonly Zone[], snap = 30): string =>
  adjacency(zones, snap).pairs[0]?.contact ?? 'none';
const shared = (zones: readonly Zone[], snap = 30): number =>
  adjacency(zones, snap).pairs[0]?.sharedMetres ?? NaN;

const west = zone('west', box(0, 0, 10_000, 10_000));

describe('edges', () => {
  test('two squares side by side share their common side', () => {
    const zones = [west, zone('east', box(10_000, 0, 20_000, 10_000))];
    for (const snap of [0, 30]) {
      expect(contact(zones, snap)).toBe('edge');
      expect(shared(zones, snap)).toBeGreaterThan(9_990);
      expect(shared(zones, snap)).toBeLessThan(10_010);
    }
  });

  test('vertices need not coincide: one side dense, the other two points', () => {
    const zones = [west, zone('east', dense(box(10_000, 0, 20_000, 10_000), 37))];
    expect(contact(zones, 0)).toBe('edge');
    expect(shared(zones, 0)).toBeGreaterThan(9_990);
    expect(shared(zones, 0)).toBeLessThan(10_010);
  });

  test('an edge of a few metres counts when it is drawn exactly', () => {
    // The upper square reaches 5 m past the corner.
    const zones = [west, zone('north east', box(9_995, 10_000, 20_000, 20_000))];
    expect(contact(zones)).toBe('edge');
    expect(shared(zones)).toBeGreaterThan(4);
    expect(shared(zones)).toBeLessThan(6);
  });

  test('small squares of 100 m that share a side', () => {
    expect(contact([zone('a', box(0, 0, 100, 100)), zone('b', box(100, 0, 200, 100))])).toBe('edge');
  });

  test('a zone in the hole of another', () => {
    const hole = box(4_000, 4_000, 6_000, 6_000);
    const zones = [zone('ring', box(0, 0, 10_000, 10_000), hole), zone('island', hole)];
    expect(contact(zones)).toBe('edge');
    // Round the whole hole: 4 x 2000 m.
    expect(shared(zones)).toBeGreaterThan(7_950);
    expect(shared(zones)).toBeLessThan(8_050);
  });

  test('the start of a ring in the middle of the common line does no harm', () => {
    const east = zone('east', [
      [10_000, 5_000],
      [10_000, 0],
      [20_000, 0],
      [20_000, 10_000],
      [10_000, 10_000],
    ]);
    expect(shared([west, east])).toBeGreaterThan(9_980);
    expect(shared([west, east])).toBeLessThan(10_020);
  });
});

describe('gaps and overlaps', () => {
  const east = (gap: number): Zone => zone('east', dense(box(10_000 + gap, 0, 20_000, 10_000), 450));

  test.each([-25, -10, 10, 20, 29])('%d m apart counts as shared at a snap of 30 m', (gap) => {
    expect(contact([west, east(gap)])).toBe('edge');
    expect(shared([west, east(gap)])).toBeGreaterThan(9_800);
    expect(shared([west, east(gap)])).toBeLessThan(10_060);
  });

  test.each([31, 40, 59, 70])('%d m apart does not', (gap) => {
    expect(contact([west, east(gap)])).toBe('none');
    expect(contact([west, east(gap)], 80)).toBe('edge');
  });

  test('20 m apart is no contact without a snap', () => {
    expect(contact([west, east(20)], 0)).toBe('none');
  });

  test('a gap that opens from 10 m to 50 m along the line counts where it is narrow', () => {
    const wedge = zone('east', [
      [10_010, 0],
      [20_000, 0],
      [20_000, 10_000],
      [10_050, 10_000],
    ]);
    expect(contact([west, wedge])).toBe('edge');
    // 30 m is reached half way.
    expect(shared([west, wedge])).toBeGreaterThan(4_800);
    expect(shared([west, wedge])).toBeLessThan(5_100);
  });
});

describe('corners', () => {
  test.each([0, 30, 100])('four squares about a point, snap %d m', (snap) => {
    const q = [
      box(0, 0, 5_000, 5_000),
      box(5_000, 0, 10_000, 5_000),
      box(0, 5_000, 5_000, 10_000),
      box(5_000, 5_000, 10_000, 10_000),
    ];
    const { pairs } = adjacency(
      q.map((ring, i) => zone(`${i}`, ring)),
      snap,
    );
    expect(pairs.map((p) => [p.a, p.b, p.contact])).toEqual([
      [0, 1, 'edge'],
      [0, 2, 'edge'],
      [0, 3, 'corner'],
      [1, 2, 'corner'],
      [1, 3, 'edge'],
      [2, 3, 'edge'],
    ]);
    expect(pairs.filter((p) => p.contact === 'corner').map((p) => p.sharedMetres)).toEqual([0, 0]);
  });

  test.each([
    [14, 14],
    [20, 0],
    [-14, -14],
    [-20, -20],
    [20, -20],
  ])('a corner moved by %d, %d m stays a corner', (dx, dy) => {
    expect(contact([west, zone('north east', box(10_000 + dx, 10_000 + dy, 20_000, 20_000))])).toBe('corner');
  });

  test('a corner further away than the snap is no contact', () => {
    expect(contact([west, zone('north east', box(10_025, 10_025, 20_000, 20_000))])).toBe('none');
  });

  test.each([20, 30, 45, 60, 90])('wedges that meet at their tips with %d degrees between them', (gap) => {
    // The boundary of each parts from the other's at the angle of the gap: l(r) = 2 r / sin(gap).
    const t = ((180 - gap) / 2 / 180) * Math.PI;
    const [c, s] = [Math.cos(t) * 9_000, Math.sin(t) * 9_000];
    const up = zone(
      'up',
      [
        [0, 0],
        [c, s],
        [-c, s],
      ].map(([x, y]) => [y, x] as [number, number]),
    );
    const down = zone(
      'down',
      [
        [0, 0],
        [-c, -s],
        [c, -s],
      ].map(([x, y]) => [y, x] as [number, number]),
    );
    expect(contact([up, down], 0)).toBe('corner');
    expect(contact([up, down], 30)).toBe('corner');
  });

  test('a tip against the middle of a side', () => {
    const tip = zone('tip', [
      [10_000, 5_000],
      [15_000, 0],
      [15_000, 10_000],
    ]);
    expect(contact([west, tip])).toBe('corner');
  });
});

describe('T-junctions', () => {
  // Two squares on the left, one tall rectangle on the right without a vertex at the junction.
  const lower = zone('lower', box(0, 0, 5_000, 5_000));
  const upper = zone('upper', box(0, 5_000, 5_000, 10_000));

  test.each([0, 20])('gap %d m', (gap) => {
    const right = zone('right', box(5_000 + gap, 0, 10_000, 10_000));
    const { pairs } = adjacency([lower, upper, right], 30);
    expect(pairs.map((p) => [p.a, p.b, p.contact])).toEqual([
      [0, 1, 'edge'],
      [0, 2, 'edge'],
      [1, 2, 'edge'],
    ]);
    for (const p of pairs) expect(Math.abs(p.sharedMetres - 5_000)).toBeLessThan(60);
  });
});

test('no zones, one zone, and zones without length', () => {
  expect(adjacency([], 30).pairs).toEqual([]);
  expect(adjacency([west], 30).pairs).toEqual([]);
  expect(adjacency([west, zone('empty', [[0, 0]])], 30).pairs).toEqual([]);
});

test('a zone of two parts touches by either part', () => {
  const far = zone('far', box(50_000, 0, 60_000, 10_000));
  const two: Zone = {
    ...far,
    area: {
      geometry: [...far.area.geometry, ...zone('', box(10_000, 0, 20_000, 10_000)).area.geometry],
      attributes: {},
    },
  };
  expect(contact([west, two])).toBe('edge');
});

test('a grid shaken by up to 8 m, each zone by itself, keeps its neighbours (property)', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 2 ** 31 - 1 }),
      fc.integer({ min: 2, max: 4 }),
      fc.integer({ min: 90, max: 900 }),
      (seed, n, step) => {
        let state = seed;
        const unit = (): number => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
        const shake = (): readonly [number, number] => [(unit() - 0.5) * 16, (unit() - 0.5) * 16];
        const side = 3_000;
        const zones = Array.from({ length: n * n }, (_, i) => {
          const [c, r] = [i % n, Math.floor(i / n)];
          return zone(`${i}`, dense(box(c * side, r * side, (c + 1) * side, (r + 1) * side), step, shake));
        });
        const got = new Map(adjacency(zones, 30).pairs.map((p) => [`${p.a}-${p.b}`, p.contact]));
        for (let a = 0; a < n * n; a++) {
          for (let b = a + 1; b < n * n; b++) {
            const dc = Math.abs((a % n) - (b % n));
            const dr = Math.abs(Math.floor(a / n) - Math.floor(b / n));
            expect(got.get(`${a}-${b}`)).toBe(
              dc + dr === 1 ? 'edge' : dc === 1 && dr === 1 ? 'corner' : undefined,
            );
          }
        }
      },
    ),
    { numRuns: 40, seed: 1 },
  );
});

test('the answer does not depend on direction, start of the ring or order of the zones (property)', () => {
  const turn = fc.integer({ min: 0, max: 3 });
  fc.assert(
    fc.property(
      turn,
      turn,
      fc.boolean(),
      fc.integer({ min: -2_000, max: 12_000 }),
      fc.integer({ min: -40, max: 80 }),
      (s1, s2, flip, dy, gap) => {
        const roll = <T>(ring: T[], by: number): T[] => [...ring.slice(by), ...ring.slice(0, by)];
        const a = box(0, 0, 10_000, 10_000);
        const b = box(10_000 + gap, dy, 20_000, dy + 10_000);
        const plain = adjacency([zone('a', a), zone('b', b)], 30).pairs;
        const other = adjacency(
          [zone('b', flip ? roll(b, s2).reverse() : roll(b, s2)), zone('a', roll(a, s1))],
          30,
        ).pairs;
        expect(other.map((p) => p.contact)).toEqual(plain.map((p) => p.contact));
        if (plain.length > 0) expect(other[0].sharedMetres).toBeCloseTo(plain[0].sharedMetres, 3);
      },
    ),
    { numRuns: 200, seed: 2 },
  );
});

test('edges drawn once for both zones and lines drawn twice are told alike (property)', () => {
  // A wiggly line between two zones: both with its vertices, or the second with others on the same line.
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -400, max: 400 }), { minLength: 4, maxLength: 60 }),
      fc.integer({ min: 0, max: 100 }),
      (bends, snap) => {
        const line = bends.map((x, i): [number, number] => [10_000 + x, 100 * i]);
        const top = 100 * (bends.length - 1);
        const a = zone('a', [...line, [0, top], [0, 0]]);
        const far: Array<[number, number]> = [
          [20_000, top],
          [20_000, 0],
        ];
        const halves = line.flatMap(([x, y], i): Array<[number, number]> => {
          const q = line[i + 1];
          return q === undefined
            ? [[x, y]]
            : [
                [x, y],
                [(x + q[0]) / 2, (y + q[1]) / 2],
              ];
        });
        const once = adjacency([a, zone('b', [...line, ...far])], snap).pairs;
        const twice = adjacency([a, zone('b', [...halves, ...far])], snap).pairs;
        expect(twice.map((p) => p.contact)).toEqual(once.map((p) => p.contact));
        expect(twice[0].sharedMetres).toBeCloseTo(once[0].sharedMetres, 1);
      },
    ),
    { numRuns: 100, seed: 5 },
  );
});
