/**
 * The match against worked examples. "By hand": the arithmetic is written out. Examples whose covariance C stands for
 * D² = dᵀ C⁻¹ d directly are given to `metric` as S = C/2, because the match divides by 2S.
 */
import { describe, expect, it } from 'vitest';
import { sigmaDissimilarity } from '../../src/domain/base/statistics.ts';
import { distance } from '../../src/domain/vetting/match/distance.ts';
import type { Distances } from '../../src/domain/vetting/match/distance.ts';
import { mess, similarity } from '../../src/domain/vetting/match/mess.ts';
import { metric } from '../../src/domain/vetting/match/metric.ts';

const near = (got: number, want: number, tolerance: number): void =>
  expect(Math.abs(got - want), `${got} against ${want}`).toBeLessThanOrEqual(tolerance);

const NO_RANGE = [Float64Array.of(-Infinity, -Infinity), Float64Array.of(Infinity, Infinity)] as const;

/** Of one difference of two variables. */
function measure(s: readonly number[], d: readonly [number, number]): Distances {
  const m = metric(Float64Array.from(s), ['a', 'b']);
  expect(m.kept).toBe(2);
  return distance(m, Float64Array.of(0, 0), [Float64Array.of(d[0]), Float64Array.of(d[1])], ...NO_RANGE);
}
const halved = (c: readonly number[]): number[] => c.map((x) => x / 2);

describe('worked matches', () => {
  it('S = [[4, 3], [3, 9]], d = (2, -1): the inverse of 2S is [[18, -6], [-6, 8]]/108 by hand', () => {
    // d1 (18·2 + 6)/108 = 2·42/108; d2 (-12 - 8)/108 = -1·-20/108; together 104/108.
    const r = measure([4, 3, 3, 9], [2, -1]);
    near(r.parts[0][0], 84 / 108, 1e-12);
    near(r.parts[1][0], 20 / 108, 1e-12);
    near(r.d2[0], 104 / 108, 1e-12);
    near(r.match[0], Math.exp(-104 / 216), 1e-12); // k = 2: the tail is exp(-D²/2)
    near(r.match[0], 0.617867354, 1e-9);
    near(r.sigma[0], 0.498875132, 1e-9);
    expect(r.limiting[0]).toBe(0);
  });

  it('temperature and rain by hand: covariance [[0.64, -18], [-18, 8100]], d = (1, -60), D² = 8244/4860', () => {
    const r = measure(halved([0.64, -18, -18, 8100]), [1, -60]);
    near(r.d2[0], 8244 / 4860, 1e-12);
    near(r.match[0], 0.428207174413, 1e-11);
    near(r.sigma[0], 0.792263285777, 1e-11);
    near(r.parts[0][0], 1.44444444444, 1e-10);
    near(r.parts[1][0], 0.251851851852, 1e-10);
  });

  it('[[4, 2], [2, 3]] with (2, 1) and (3, -1): the inverse is [[3, -2], [-2, 4]]/8 by hand', () => {
    // (2, 1): (12 - 8 + 4)/8 = 1. (3, -1): (27 + 12 + 4)/8 = 43/8, root 2.3184.
    near(Math.sqrt(measure(halved([4, 2, 2, 3]), [2, 1]).d2[0]), 1, 1e-12);
    near(Math.sqrt(measure(halved([4, 2, 2, 3]), [3, -1]).d2[0]), 2.3184, 5e-5);
  });

  it('sigma form of Mahony et al. 2017: sd 1 °C and 0.15 ln mm, r = -0.3 (computed from the formula)', () => {
    const c = halved([1, -0.3 * 0.15, -0.3 * 0.15, 0.15 ** 2]);
    const moderate = measure(c, [2.5, -0.2]);
    near(Math.sqrt(moderate.d2[0]), 2.5737, 5e-6);
    near(1 - moderate.match[0], 0.963556, 5e-7);
    near(moderate.sigma[0], 2.0919, 5e-5);
    const similar = measure(c, [0.8, Math.log(1.1)]);
    near(Math.sqrt(similar.d2[0]), 1.21742, 5e-6);
    near(similar.sigma[0], 0.71177, 5e-6);
    const extreme = measure(c, [4, 0.3]);
    near(Math.sqrt(extreme.d2[0]), 5.22042, 5e-6);
    near(extreme.sigma[0], 4.854, 5e-4);
  });

  it('a pair at the 95th percentile of chi-square has match 0.05 (handbook points for k = 1, 3 and 6)', () => {
    for (const [k, point] of [
      [1, 3.84145882],
      [3, 7.8147279],
      [6, 12.59158724],
    ]) {
      // S = I/2, so D² is the squared length of the difference.
      const s = new Float64Array(k * k);
      for (let i = 0; i < k; i++) s[i * k + i] = 0.5;
      const names = Array.from({ length: k }, (_, i) => `v${i}`);
      const columns = names.map((_, i) => Float64Array.of(i === 0 ? Math.sqrt(point) : 0));
      const wide = new Float64Array(k).fill(Infinity);
      const r = distance(
        metric(s, names),
        new Float64Array(k),
        columns,
        wide.map((x) => -x),
        wide,
      );
      near(r.match[0], 0.05, 1e-9);
    }
  });
});

describe('sigma dissimilarity (Mahony et al. 2017: the half-normal quantile of the chi probability of D)', () => {
  // D at 1, 2, 3 and 4 sigma, computed from the definition, to three decimals.
  it.each([
    [1, [1, 2, 3, 4]],
    [2, [1.515, 2.486, 3.439, 4.397]],
    [3, [1.878, 2.833, 3.763, 4.697]],
    [4, [2.172, 3.117, 4.031, 4.95]],
    [5, [2.426, 3.364, 4.267, 5.174]],
    [6, [2.653, 3.585, 4.479, 5.377]],
  ])('is 1, 2, 3 and 4 at these D, k = %i', (k, at) => {
    at.forEach((d, i) => near(sigmaDissimilarity(d * d, k), i + 1, 1e-3));
  });

  it('at D = 3 falls as the number of variables grows, 1 to 6', () => {
    [3, 2.539, 2.18, 1.873, 1.602, 1.361].forEach((sigma, i) =>
      near(sigmaDissimilarity(9, i + 1), sigma, 5.5e-4),
    );
  });

  it('computed from the formula, to 11 digits', () => {
    for (const [d, k, sigma] of [
      [1, 1, 1],
      [2, 2, 1.49338941066],
      [2, 4, 0.830942966064],
      [3, 4, 1.87277485983],
      [3, 6, 1.36079630192],
      [4, 6, 2.46362565122],
    ])
      near(sigmaDissimilarity(d * d, k), sigma, 1e-10);
  });
});

describe('multivariate environmental similarity (Elith et al. 2010, appendix S3; computed from the formula)', () => {
  const reference = Float64Array.of(2, 4, 5, 6, 7, 8, 9, 10, 12, 14);

  it('of a place to a reference of ten, counting those strictly below', () => {
    for (const [p, want] of [
      [1, -8.333],
      [3, 20],
      [6.5, 80],
      [8, 100],
      [11, 40],
      [16, -16.667],
    ])
      near(similarity(reference, p), want, 1e-3);
  });

  it('a quarter of the range of the reference above it is -25', () => {
    const rain = Float64Array.of(900, 950, 1000, 1020, 1050, 1080, 1100, 1150, 1200, 1300);
    near(similarity(rain, 1400), -25, 1e-3);
  });

  it('at the greatest is 20, where counting equals too would give 0; at the least 0, not 20', () => {
    expect(similarity(reference, 14)).toBeCloseTo(20, 12);
    expect(similarity(reference, 2)).toBe(0);
  });

  it('of several variables is the lowest, by the most dissimilar one', () => {
    const { mess: lowest, unlike } = mess(
      [reference, reference],
      [Float64Array.of(8, 1, 3), Float64Array.of(11, 8, 16)],
    );
    near(lowest[0], 40, 1e-3);
    near(lowest[1], -8.333, 1e-3);
    near(lowest[2], -16.667, 1e-3);
    expect([...unlike]).toEqual([1, 0, 1]);
  });
});
