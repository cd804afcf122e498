import { describe, expect, it } from 'vitest';
import { chiSquareWhole } from '../../../src/domain/base/chiSquareWhole.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { chiSquareTail, gammaUpper } from '../../../src/domain/base/statistics.ts';

const ALL = Array.from({ length: 31 }, (_, i) => i + 1);
const relative = (got: number, want: number): number => (got === want ? 0 : Math.abs(got / want - 1));

describe('the fast upper tail of chi-square', () => {
  it.each(ALL)('equals the other one to 1e-12 from near zero to far out, k = %i', (k) => {
    const tail = chiSquareWhole(k);
    const random = rng(k);
    for (let i = 0; i < 4000; i++) {
      const x = 10 ** (-8 + 11 * random()); // to 1,000, where the tail is under 1e-200
      expect(relative(tail(x), chiSquareTail(x, k)), `x = ${x}`).toBeLessThan(1e-12);
    }
  });

  it.each(ALL)('equals the incomplete gamma function, which is computed another way, k = %i', (k) => {
    const tail = chiSquareWhole(k);
    for (let x = 0.01; x < 200; x *= 1.3)
      expect(relative(tail(x), gammaUpper(k / 2, x / 2)), `x = ${x}`).toBeLessThan(1e-11);
  });

  it.each(ALL)('is 1 at 0 and below, falls without a step, and runs out to 0, k = %i', (k) => {
    const tail = chiSquareWhole(k);
    expect([tail(0), tail(-1e-20), tail(-5)]).toEqual([1, 1, 1]);
    let before = 1;
    for (let x = 0; x < 90; x += 0.25) {
      expect(tail(x)).toBeLessThanOrEqual(before + 1e-15);
      before = tail(x);
    }
    expect(tail(1e4)).toBe(0);
    expect(tail(NaN)).toBeNaN();
  });

  it('takes whole degrees of freedom only', () => {
    for (const k of [0, -1, 1.5, NaN]) expect(() => chiSquareWhole(k)).toThrow('degrees of freedom');
  });
});
