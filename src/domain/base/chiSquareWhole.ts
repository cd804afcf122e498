import { erfcx } from './statistics.ts';

/**
 * Upper tail of chi-square with a whole number of degrees of freedom, as a function that is fast enough for millions of
 * cells: for k = 2 m, exp(-x/2) times the first m terms of the exponential series at x/2; for odd k the same with half-odd
 * powers and a complementary error function (Abramowitz & Stegun 1964, 26.4.4 and 26.4.5). x below 0 gives 1, NaN gives NaN.
 * @param k degrees of freedom, 1 or more.
 */
export function chiSquareWhole(k: number): (x: number) => number {
  if (!(Number.isInteger(k) && k > 0)) throw new Error(`degrees of freedom: ${k}`);
  // Terms are (x/2)^(i + s) / gamma(i + s + 1), each from the one before by x/2 / (i + s).
  const odd = k % 2 === 1;
  const terms = Math.floor(k / 2);
  const over = Float64Array.from({ length: terms }, (_, i) => 1 / (odd ? i + 0.5 : Math.max(1, i)));
  const root = 2 / Math.sqrt(Math.PI);
  return (x) => {
    if (x <= 0) return 1;
    const h = x / 2;
    // exp(-h) goes with every term; the first odd one is sqrt(h) / gamma(3/2).
    let term = odd ? root * Math.sqrt(h) : 1;
    let sum = odd ? erfcx(Math.sqrt(h)) : 0;
    for (let i = 0; i < terms; i++) {
      if (i > 0) term *= h * over[i];
      sum += term;
    }
    return Math.exp(-h) * sum;
  };
}
