/**
 * The match against worked examples. "By hand": the arithmetic is written out. Examples whose covariance C stands for
 * D² = dᵀ C⁻¹ d directly are given to `metric` as S = C/2, because the match divides by 2S.
 */
import { describe, expect, it } from 'vitest';
import { distance } from '../../src/domain/vetting/match/distance.ts';
import type { Distances } from '../../src/domain/vetting/match/distance.ts';
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
