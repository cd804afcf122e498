/** Random small problems of choice, and their answers by trying every set. */
import fc from 'fast-check';
import { geodesicDirect, geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { drawInteger, rng, type Random } from '../../../src/domain/base/rng.ts';
import type { ParentProblem } from '../../../src/domain/parents/types.ts';

/** A quarter of a statute mile. */
export const QUARTER_MILE = 402.336;

export const isClose = (p: ParentProblem, i: number, j: number): boolean =>
  geodesicMetres(p.lon[i], p.lat[i], p.lon[j], p.lat[j]) < p.spacing;

export const worth = (p: ParentProblem, r: number): number => (p.weight[r] > 0 ? p.weight[r] : 0);

export const totalOf = (p: ParentProblem, rows: readonly number[]): number =>
  rows.reduce((sum, r) => sum + worth(p, r), 0);

export interface Truth {
  /** By number of members: the greatest total, -Infinity where no set of that number exists. */
  readonly best: readonly number[];
  readonly largest: number;
}

/** Every spaced set that holds all locks and no ban; locks that conflict give no set. */
export function tryAll(p: ParentProblem): Truth {
  const locks = [...new Set(p.locks)];
  const n = p.lon.length;
  const best: number[] = new Array<number>(n + 1).fill(-Infinity);
  if (locks.some((a) => locks.some((b) => a < b && isClose(p, a, b)))) return { best, largest: 0 };
  const open = Array.from({ length: n }, (_, r) => r).filter(
    (r) => p.weight[r] > 0 && !p.bans.includes(r) && !locks.includes(r),
  );
  const close = open.map((r) => [...open, ...locks].map((s) => r !== s && isClose(p, r, s)));
  const free = open.map((_, i) => !locks.some((_lock, l) => close[i][open.length + l]));
  const set: number[] = [];
  const extend = (from: number, total: number): void => {
    const size = locks.length + set.length;
    best[size] = Math.max(best[size], total);
    for (let i = from; i < open.length; i++) {
      if (!free[i] || set.some((j) => close[i][j])) continue;
      set.push(i);
      extend(i + 1, total + p.weight[open[i]]);
      set.pop();
    }
  };
  extend(0, totalOf(p, locks));
  return { best, largest: best.findLastIndex((b) => b > -Infinity) };
}

export type Spread = 'uniform' | 'clustered' | 'line';
export type Weights = 'real' | 'few whole numbers' | 'one';

interface Shape {
  readonly seed: number;
  readonly n: number;
  readonly spread: Spread;
  readonly weights: Weights;
  readonly side: number;
  readonly count: number;
  readonly locks: number;
  readonly bans: number;
  /** Some weights are missing, zero or negative. */
  readonly holes: boolean;
}

/** Positions within `side` metres of (-82, 39). */
function places(random: Random, { n, spread, side }: Shape): { lon: Float64Array; lat: Float64Array } {
  const lon = new Float64Array(n);
  const lat = new Float64Array(n);
  const centres = Array.from({ length: 3 }, () => [random() * 360, random() * side]);
  for (let i = 0; i < n; i++) {
    const [bearing, metres] =
      spread === 'line' ? [90, random() * side * 3] : [random() * 360, side * Math.sqrt(random())];
    let place = geodesicDirect(-82, 39, bearing, metres);
    if (spread === 'clustered') {
      const [b, m] = centres[drawInteger(random, 3)];
      const centre = geodesicDirect(-82, 39, b, m);
      place = geodesicDirect(centre.lon, centre.lat, random() * 360, random() * 350);
    }
    lon[i] = place.lon;
    lat[i] = place.lat;
  }
  return { lon, lat };
}

function problemOf(shape: Shape): ParentProblem {
  const random = rng(shape.seed);
  const { n } = shape;
  const { lon, lat } = places(random, shape);
  const draw = (): number =>
    shape.weights === 'one'
      ? 1
      : shape.weights === 'real'
        ? 0.05 + 0.95 * random()
        : 1 + drawInteger(random, 3);
  const weight = Float64Array.from({ length: n }, () => {
    const w = draw();
    const odd = random();
    if (!shape.holes || odd > 0.2) return w;
    return odd < 0.07 ? NaN : odd < 0.14 ? 0 : -w;
  });
  const rows = (most: number): number[] =>
    Array.from({ length: Math.min(most, n) }, () => drawInteger(random, n));
  return {
    lon,
    lat,
    weight,
    // Ids in an order of their own, not that of the rows.
    id: Array.from({ length: n }, (_, i) => `t${String((i * 7 + shape.seed) % 97).padStart(2, '0')}-${i}`),
    spacing: QUARTER_MILE,
    count: Math.min(shape.count, n + 1),
    locks: rows(shape.locks),
    bans: rows(shape.bans),
  };
}

export const randomProblem = (marks: { locks: number; bans: number }): fc.Arbitrary<ParentProblem> =>
  fc
    .record({
      seed: fc.integer({ min: 1, max: 1e9 }),
      n: fc.integer({ min: 1, max: 16 }),
      spread: fc.constantFrom<Spread>('uniform', 'clustered', 'line'),
      weights: fc.constantFrom<Weights>('real', 'few whole numbers', 'one'),
      side: fc.constantFrom(250, 600, 1000, 1500),
      count: fc.integer({ min: 1, max: 9 }),
      locks: fc.integer({ min: 0, max: marks.locks }),
      bans: fc.integer({ min: 0, max: marks.bans }),
      holes: fc.boolean(),
    })
    .map(problemOf);

/** Places along a meridian, metres north of (-82, 39). */
export function onMeridian(metres: readonly number[]): { lon: Float64Array; lat: Float64Array } {
  const at = metres.map((m) => geodesicDirect(-82, 39, 0, m));
  return { lon: Float64Array.from(at, (p) => p.lon), lat: Float64Array.from(at, (p) => p.lat) };
}

/** A problem with the usual spacing and weights of one, where nothing else is said. */
export function problem(
  spots: { lon: Float64Array; lat: Float64Array },
  over: Partial<ParentProblem> = {},
): ParentProblem {
  const n = spots.lon.length;
  return {
    ...spots,
    weight: new Float64Array(n).fill(1),
    id: Array.from({ length: n }, (_, i) => `T${String(i).padStart(3, '0')}`),
    spacing: QUARTER_MILE,
    count: 1,
    locks: [],
    bans: [],
    ...over,
  };
}

/** The same problem with its rows in another order. `to[k]`: the old row that stands at row k now. */
export function permuted(p: ParentProblem, to: readonly number[]): ParentProblem {
  const now = new Map(to.map((old, k) => [old, k]));
  const moved = (rows: readonly number[]): number[] => rows.map((r) => now.get(r) as number);
  return {
    ...p,
    lon: Float64Array.from(to, (r) => p.lon[r]),
    lat: Float64Array.from(to, (r) => p.lat[r]),
    weight: Float64Array.from(to, (r) => p.weight[r]),
    id: to.map((r) => p.id[r]),
    locks: moved(p.locks),
    bans: moved(p.bans),
  };
}
