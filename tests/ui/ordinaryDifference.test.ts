/** Ordinary differences in words. 1.96: normal quantile at 0.975 (1.959964; any table of the normal distribution). */
import { describe, expect, it } from 'vitest';
import { ordinaryAbout, ordinaryHalf, ordinaryWords } from '../../src/ui/ordinaryDifference.ts';

const spread = { covariance: Float64Array.of(0.25, 0, 0, 0.01) };

describe('the ordinary difference', () => {
  it('is 1.96 times the standard deviation of a difference of two places', () => {
    // sd 0.5: 1.96 * sqrt(2) * 0.5 = 1.38593; sd 0.1: 0.277186
    expect(ordinaryHalf(spread, 0)).toBeCloseTo(1.38593, 5);
    expect(ordinaryHalf(spread, 1)).toBeCloseTo(0.277186, 6);
  });

  it('is in the units of the user, degrees without an offset', () => {
    expect(ordinaryWords(1.38593, '°C', 'identity', 'metric')).toBe('± 1.4 °C');
    expect(ordinaryWords(1.38593, '°C', 'identity', 'us')).toBe('± 2.5 °F');
    expect(ordinaryWords(127, 'mm', 'identity', 'us')).toBe('± 5 in');
    expect(ordinaryWords(127, 'mm', 'identity', 'metric')).toBe('± 127 mm');
    expect(ordinaryWords(3.24, '%', 'identity', 'us')).toBe('± 3.2 points');
    expect(ordinaryWords(NaN, '°C', 'identity', 'us')).toBe('');
  });

  it('is a factor, not the same up and down, where logarithms are compared', () => {
    // exp(-0.277186) = 0.75791, exp(0.277186) = 1.31941
    expect(ordinaryWords(0.277186, 'mm', 'log', 'us')).toBe('−24 to +32 %');
    // exp(-0.05) = 0.951229, exp(0.05) = 1.051271
    expect(ordinaryWords(0.05, 'mm', 'log', 'us')).toBe('−4.9 to +5.1 %');
  });

  it('about the site is in the unit that a limit is set in', () => {
    expect(ordinaryAbout(0.277186, 1000, 'mm', 'log', 'metric')).toBe('−242 mm to +319 mm');
    expect(ordinaryAbout(0.277186, NaN, 'mm', 'log', 'metric')).toBe('−24 to +32 %');
    expect(ordinaryAbout(1.38593, 10, '°C', 'identity', 'metric')).toBe('± 1.4 °C');
  });
});
