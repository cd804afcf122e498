import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { normalQuantile } from '../../../src/domain/base/statistics.ts';
import { distance } from '../../../src/domain/vetting/match/distance.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';

interface Case {
  readonly k: number;
  readonly covariance: Float64Array;
  readonly site: Float64Array;
  readonly values: Float64Array[];
  readonly names: string[];
}

const wide = (k: number, x: number): Float64Array => new Float64Array(k).fill(x);
const measure = (c: Case): ReturnType<typeof distance> =>
  distance(metric(c.covariance, c.names), c.site, c.values, wide(c.k, -Infinity), wide(c.k, Infinity));

/** A random covariance (of k + 3 random vectors, variables of very different size), a site and n places. */
function randomCase(seed: number, n = 40): Case {
  const random = rng(seed);
  const normal = (): number => normalQuantile(random());
  const k = 1 + Math.floor(random() * 7);
  const scale = Array.from({ length: k }, () => 10 ** (random() * 6 - 3));
  const vectors = Array.from({ length: k + 3 }, () => scale.map((s) => s * normal()));
  const covariance = new Float64Array(k * k);
  for (const v of vectors)
    for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) covariance[i * k + j] += v[i] * v[j];
  return {
    k,
    covariance,
    site: Float64Array.from(scale, (s) => s * normal()),
    values: scale.map((s) => Float64Array.from({ length: n }, () => 2 * s * normal())),
    names: scale.map((_, i) => `v${i}`),
  };
}

/** Solves A x = b by Gaussian elimination with pivots: the oracle for dᵀ (2S)⁻¹ d. */
function solve(a: number[][], b: number[]): number[] {
  const n = b.length;
  const m = a.map((row, i) => [...row, b[i]]);
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(m[r][c]) > Math.abs(m[pivot][c])) pivot = r;
    [m[c], m[pivot]] = [m[pivot], m[c]];
    for (let r = 0; r < n; r++) {
      if (r === c) continue;
      const f = m[r][c] / m[c][c];
      for (let j = c; j <= n; j++) m[r][j] -= f * m[c][j];
    }
  }
  return m.map((row, i) => row[n] / row[i]);
}

const SEEDS = Array.from({ length: 15 }, (_, i) => i + 1);

describe('distance', () => {
  it.each(SEEDS)('equals solving the linear system 2S x = d, part by part, seed %i', (seed) => {
    const c = randomCase(seed);
    const got = measure(c);
    const twoS = c.names.map((_, i) => c.names.map((__, j) => 2 * c.covariance[i * c.k + j]));
    for (let i = 0; i < got.d2.length; i++) {
      const d = c.values.map((column, v) => column[i] - c.site[v]);
      const x = solve(twoS, d);
      const want = d.map((dv, v) => dv * x[v]);
      const d2 = want.reduce((s, p) => s + p, 0);
      expect(Math.abs(got.d2[i] / d2 - 1)).toBeLessThan(1e-8);
      want.forEach((p, v) => expect(Math.abs(got.parts[v][i] - p)).toBeLessThan(1e-8 * Math.max(1, d2)));
      expect(got.limiting[i]).toBe(want.indexOf(Math.max(...want)));
    }
  });

  it.each(SEEDS)('parts sum to D²; the match falls and sigma rises with D², seed %i', (seed) => {
    const got = measure(randomCase(seed, 200));
    const order = [...got.d2.keys()].sort((a, b) => got.d2[a] - got.d2[b]);
    order.forEach((i, at) => {
      const sum = got.parts.reduce((s, p) => s + p[i], 0);
      expect(Math.abs(sum - got.d2[i])).toBeLessThanOrEqual(1e-10 * Math.max(1, got.d2[i]));
      expect(got.match[i] >= 0 && got.match[i] <= 1).toBe(true);
      if (at === 0) return;
      expect(got.match[i]).toBeLessThanOrEqual(got.match[order[at - 1]]);
      expect(got.sigma[i]).toBeGreaterThanOrEqual(got.sigma[order[at - 1]]);
    });
  });

  it.each(SEEDS)('an identical place matches fully, and nothing limits it, seed %i', (seed) => {
    const c = randomCase(seed, 1);
    const got = measure({ ...c, values: c.names.map((_, v) => Float64Array.of(c.site[v])) });
    expect([got.d2[0], got.match[0], got.sigma[0], got.limiting[0]]).toEqual([0, 1, 0, -1]);
  });

  it.each(SEEDS)('site and candidate may change places, seed %i', (seed) => {
    const c = randomCase(seed, 1);
    const back = measure({
      ...c,
      site: Float64Array.from(c.values, (v) => v[0]),
      values: [...c.site].map((x) => Float64Array.of(x)),
    });
    expect(back.d2[0]).toBe(measure(c).d2[0]);
  });

  it.each(SEEDS)('the unit of a variable does not matter: match under x -> a x + b, seed %i', (seed) => {
    const c = randomCase(seed);
    const random = rng(seed + 100);
    const a = c.names.map(() => (random() < 0.5 ? -1 : 1) * 10 ** (random() * 4 - 2));
    const b = c.names.map(() => 10 * random());
    const other = measure({
      ...c,
      covariance: c.covariance.map((s, at) => s * a[Math.floor(at / c.k)] * a[at % c.k]),
      site: c.site.map((x, v) => a[v] * x + b[v]),
      values: c.values.map((column, v) => column.map((x) => a[v] * x + b[v])),
    });
    const got = measure(c);
    got.match.forEach((m, i) => expect(other.match[i]).toBeCloseTo(m, 8));
  });

  it('a missing variable at the place, or at the site, leaves all of it unknown', () => {
    const c: Case = {
      k: 2,
      covariance: Float64Array.of(1, 0, 0, 1),
      site: Float64Array.of(0, 0),
      values: [Float64Array.of(1, NaN, 1), Float64Array.of(1, 1, NaN)],
      names: ['a', 'b'],
    };
    const got = measure(c);
    expect(got.d2[0]).toBeCloseTo(1, 12);
    for (const i of [1, 2]) {
      for (const column of [got.d2, got.match, got.sigma, ...got.parts]) expect(column[i]).toBeNaN();
      expect(got.limiting[i]).toBe(-1);
    }
    const noSite = measure({ ...c, site: Float64Array.of(NaN, 0) });
    expect(noSite.match[0]).toBeNaN();
  });

  it('marks variables outside the range of the reference cells, bit by bit', () => {
    const m = metric(Float64Array.of(1, 0, 0, 1), ['a', 'b']);
    const values = [Float64Array.of(0, -1.01, 1, 5, NaN), Float64Array.of(0, 0, 1.01, 5, 5)];
    const got = distance(m, Float64Array.of(0, 0), values, Float64Array.of(-1, -1), Float64Array.of(1, 1));
    expect([...got.novel]).toEqual([0, 1, 2, 3, 2]);
  });

  it('31 variables have a bit each, the highest too', () => {
    const k = 31;
    const s = new Float64Array(k * k);
    for (let i = 0; i < k; i++) s[i * k + i] = 1;
    const names = Array.from({ length: k }, (_, i) => `v${i}`);
    const values = names.map((_, i) => Float64Array.of(i === 30 ? 9 : 0));
    const got = distance(metric(s, names), new Float64Array(k), values, wide(k, -1), wide(k, 1));
    expect(got.novel[0]).toBe(2 ** 30);
  });
});

describe('variables that are nearly the same', () => {
  it('count once: a copy of a variable changes neither match nor k', () => {
    const c = randomCase(3);
    const k = c.k + 1;
    const doubled = new Float64Array(k * k);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++)
        doubled[i * k + j] = c.covariance[Math.min(i, c.k - 1) * c.k + Math.min(j, c.k - 1)];
    const m = metric(doubled, [...c.names, 'copy']);
    expect(m.kept).toBe(c.k);
    expect(m.nearlySame).toEqual([`v${c.k - 1} and copy are nearly the same in this area`]);
    const got = distance(
      m,
      Float64Array.of(...c.site, c.site[c.k - 1]),
      [...c.values, c.values[c.k - 1]],
      wide(k, -Infinity),
      wide(k, Infinity),
    );
    measure(c).match.forEach((want, i) => expect(got.match[i]).toBeCloseTo(want, 9));
    got.d2.forEach((d2, i) => expect(got.parts.reduce((s, p) => s + p[i], 0)).toBeCloseTo(d2, 8));
  });
});
