import { describe, expect, it } from 'vitest';
import { ellipse } from '../../../src/domain/vetting/match/ellipse.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';
import { drawInteger, rng } from '../../../src/domain/base/rng.ts';

describe('the contour of ordinary differences', () => {
  it('holds the places whose D² is the 95 % point of chi-square with two degrees of freedom', () => {
    // 2S = [[8, 6], [6, 18]]; 5.9914645471 from Abramowitz & Stegun 1964, table 26.8.
    const s = Float64Array.of(4, 3, 3, 9);
    const { inverse } = metric(s, ['a', 'b']);
    const points = ellipse(s, 0, 1, [2, -1]) ?? [];
    expect(points).toHaveLength(72);
    for (const [x, y] of points) {
      const [d, e] = [x - 2, y + 1];
      const d2 = d * (inverse[0] * d + inverse[1] * e) + e * (inverse[2] * d + inverse[3] * e);
      expect(d2).toBeCloseTo(5.9914645471, 9);
    }
  });

  it('takes any two of many variables, whatever the others are', () => {
    const random = rng(7);
    const k = 4;
    const factor = Array.from({ length: k }, () =>
      Array.from({ length: k }, () => drawInteger(random, 2000) / 1000 - 1),
    );
    const s = Float64Array.from({ length: k * k }, (_, at) => {
      const [i, j] = [Math.floor(at / k), at % k];
      return factor[i].reduce((sum, f, m) => sum + f * factor[j][m], i === j ? 0.1 : 0);
    });
    const sub = Float64Array.of(s[1 * k + 1], s[1 * k + 3], s[3 * k + 1], s[3 * k + 3]);
    expect(ellipse(s, 1, 3, [0, 0])).toEqual(ellipse(sub, 0, 1, [0, 0]));
  });

  it('is none where the two say the same', () => {
    expect(ellipse(Float64Array.of(4, 8, 8, 16), 0, 1, [0, 0])).toBeNull();
  });
});
