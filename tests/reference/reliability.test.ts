/**
 * Scores of probabilities against worked values.
 * Wilson 1927, JASA 22:209-212: 43 of 50 gives 0.7381 to 0.9305, 0 of 50 an upper end of 0.0713, 6 of 8 gives 0.409275430 to
 * 0.928520787 (computed from the formula; the same from R's prop.test without continuity correction).
 * Brier 1950, Monthly Weather Review 78:1-3: his P sums over both classes; ours is half of it, the mean square of p - outcome.
 * The example below is worked by hand, not his.
 */
import { expect, test } from 'vitest';
import { brier, reliability } from '../../src/domain/vetting/origin/reliability.ts';

const naturals = (yes: number, n: number): boolean[] => Array.from({ length: n }, (_, i) => i < yes);
const all = (p: number, n: number): number[] => new Array<number>(n).fill(p);

test.each([
  [43, 50, 0.7381, 0.9305, 4],
  [0, 50, 0, 0.0713, 4],
  [6, 8, 0.40927543, 0.928520787, 8],
])('%d of %d', (yes, n, low, high, digits) => {
  const [, , , , bar] = reliability(all(0.9, n), naturals(yes, n));
  expect(bar.n).toBe(n);
  expect(bar.predicted).toBeCloseTo(0.9, 12);
  expect(bar.observed).toBeCloseTo(yes / n, 12);
  expect(bar.low).toBeCloseTo(low, digits);
  expect(bar.high).toBeCloseTo(high, digits);
});

test('five bars: the lower end belongs to a bar, one belongs to the last; an empty bar knows nothing', () => {
  const bars = reliability([0, 0.19, 0.2, 0.4, 0.6, 0.8, 1], naturals(7, 7));
  expect(bars.map((b) => [b.from, b.to, b.n])).toEqual([
    [0, 0.2, 2],
    [0.2, 0.4, 1],
    [0.4, 0.6, 1],
    [0.6, 0.8, 1],
    [0.8, 1, 2],
  ]);
  const [empty] = reliability([0.5], [true]);
  expect([empty.n, empty.predicted, empty.observed, empty.low, empty.high]).toEqual([0, NaN, NaN, NaN, NaN]);
});

test('Brier score, by hand: (0.1² + 0.4² + 0.8² + 0.3²) / 4 = 0.225; always one half 0.25; sure and right 0', () => {
  expect(brier([0.9, 0.6, 0.2, 0.3], [true, true, true, false])).toBeCloseTo(0.225, 15);
  expect(brier([0.5, 0.5], [true, false])).toBe(0.25);
  expect(brier([1, 0], [true, false])).toBe(0);
  expect(brier([], [])).toBeNaN();
});
