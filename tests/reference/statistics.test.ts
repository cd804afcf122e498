/**
 * Distributions and random numbers against handbook tables and other libraries.
 *
 * TABLE: upper points of chi-square as printed in handbooks (Abramowitz & Stegun 1964, table 26.8; Pearson & Hartley,
 * Biometrika Tables, table 8), with the further digits computed by mpmath at 30 digits. "mpmath": computed with mpmath
 * 1.3, 30 to 60 digits, from the definitions (erfc, regularised incomplete gamma).
 */
import { describe, expect, it } from 'vitest';
import { rng } from '../../src/domain/base/rng.ts';
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareTail,
  chiSquareUpperPoint,
  gammaLower,
  gammaUpper,
  lnGamma,
  normalCdf,
  normalQuantile,
  normalTail,
  normalUpperQuantile,
  sigmaDissimilarity,
  wilsonInterval,
} from '../../src/domain/base/statistics.ts';

const near = (got: number, want: number, tolerance: number): void =>
  expect(Math.abs(got - want), `${got} against ${want}`).toBeLessThanOrEqual(tolerance);
const nearRelative = (got: number, want: number, tolerance: number): void => near(got / want, 1, tolerance);

const TAILS = [0.5, 0.1, 0.05, 0.01, 0.001];
// prettier-ignore
const TABLE: ReadonlyArray<readonly [number, ...number[]]> = [
  [1, 0.45493642, 2.70554345, 3.84145882, 6.63489660, 10.82756617],
  [2, 1.38629436, 4.60517019, 5.99146455, 9.21034037, 13.81551056],
  [3, 2.36597388, 6.25138863, 7.81472790, 11.34486673, 16.26623620],
  [4, 3.35669398, 7.77944034, 9.48772904, 13.27670414, 18.46682695],
  [5, 4.35146019, 9.23635690, 11.07049769, 15.08627247, 20.51500565],
  [6, 5.34812063, 10.64464068, 12.59158724, 16.81189383, 22.45774448],
  [8, 7.34412150, 13.36156614, 15.50731306, 20.09023503, 26.12448156],
  [10, 9.34181777, 15.98717917, 18.30703805, 23.20925116, 29.58829845],
];

describe('chi-square', () => {
  it.each(TABLE)('handbook row k = %i to 1e-8, by upper point, by tail and by quantile', (k, ...points) => {
    points.forEach((x, i) => {
      near(chiSquareUpperPoint(TAILS[i], k), x, 1e-8);
      near(chiSquareQuantile(1 - TAILS[i], k), x, 1e-8);
      // The table's last digit is worth at most 0.5e-8 times the density, which is under 0.7 there.
      near(chiSquareTail(x, k), TAILS[i], 1e-8);
      near(chiSquareCdf(x, k), 1 - TAILS[i], 1e-8);
    });
  });

  it('upper points with 12 digits (mpmath)', () => {
    near(chiSquareUpperPoint(0.5, 1), 0.45493642312, 1e-11);
    near(chiSquareUpperPoint(0.05, 2), 5.99146454711, 1e-11);
    near(chiSquareUpperPoint(0.05, 6), 12.5915872437, 1e-10);
    near(chiSquareUpperPoint(0.001, 8), 26.1244815584, 1e-10);
  });

  it.each([
    [1, 1, 0.682689492137],
    [4, 1, 0.954499736104],
    [2, 2, 0.632120558829],
    [5.991464547107981, 2, 0.95],
    [3, 3, 0.608374823729],
    [10, 4, 0.959572318005],
    [6, 6, 0.576809918873],
    [20, 10, 0.970747311923],
  ])('cdf(%f; %i) (mpmath)', (x, k, want) => {
    near(chiSquareCdf(x, k), want, 1e-12);
    near(chiSquareTail(x, k), 1 - want, 1e-12);
  });

  it('keeps the digits of far tails (mpmath)', () => {
    nearRelative(chiSquareTail(100, 6), 2.50930355220106e-19, 1e-13);
    nearRelative(chiSquareTail(400, 6), 2.79560937366088e-83, 1e-13);
    nearRelative(chiSquareTail(1000, 3), 1.79942087653145e-216, 1e-13);
  });

  it('k = 2 is the exponential: F = 1 - exp(-x/2)', () => {
    near(chiSquareCdf(4, 2), 0.864664716763, 1e-12);
  });

  it('closed forms agree with the incomplete gamma function for whole k to 25', () => {
    for (let k = 1; k <= 25; k++)
      for (let x = 0.01; x < 300; x *= 1.7)
        nearRelative(chiSquareTail(x, k), gammaUpper(k / 2, x / 2), 2e-12);
  });
});

describe('normal', () => {
  it.each([
    [0.5, 0.691462461274],
    [1, 0.841344746069],
    [1.645, 0.950015094461],
    [1.959963985, 0.975000000027],
    [2, 0.977249868052],
    [2.575829304, 0.995000000007],
    [3, 0.998650101968],
    [4, 0.999968328758],
  ])('Phi(%f) (mpmath; handbook table A&S 26.1)', (z, p) => {
    near(normalCdf(z), p, 1e-12);
    near(normalTail(z), 1 - p, 1e-12);
    near(normalCdf(-z), 1 - p, 1e-12);
  });

  it.each([
    [0.75, 0.674489750196],
    [0.9, 1.28155156554],
    [0.95, 1.64485362695],
    [0.975, 1.95996398454],
    [0.99, 2.32634787404],
    [0.995, 2.57582930355],
    [0.999, 3.09023230617],
  ])('quantile of %f (mpmath; handbook table A&S 26.5)', (p, z) => {
    near(normalQuantile(p), z, 1e-11);
    near(normalQuantile(1 - p), -z, 1e-11);
    near(normalUpperQuantile(1 - p), z, 1e-11);
  });

  it('far tails (mpmath)', () => {
    nearRelative(normalTail(5), 2.866515718791939e-7, 1e-14);
    nearRelative(normalTail(10), 7.619853024160527e-24, 1e-14);
    nearRelative(normalTail(37), 5.725571222524577e-300, 1e-13);
    near(normalUpperQuantile(1e-10), 6.361340902404056, 1e-13);
    near(normalUpperQuantile(1e-100), 21.27345356096532, 1e-12);
    near(normalUpperQuantile(1e-300), 37.0470962993612, 1e-11);
  });

  it('has its limits and refuses what is no probability', () => {
    expect(normalUpperQuantile(0)).toBe(Infinity);
    expect(normalUpperQuantile(1)).toBe(-Infinity);
    expect(normalQuantile(0.5)).toBeCloseTo(0, 15);
    expect(normalQuantile(1.01)).toBeNaN();
    expect(normalQuantile(NaN)).toBeNaN();
  });
});

describe('incomplete gamma', () => {
  it('P(1, x) = 1 - exp(-x) and P(1/2, x²) = erf(x) (A&S 6.5.16; erf(1) of A&S table 7.1)', () => {
    near(gammaLower(1, 0.3), 1 - Math.exp(-0.3), 1e-15);
    near(gammaLower(0.5, 1), 0.8427007929497149, 1e-14);
    near(gammaUpper(0.5, 1), 0.1572992070502851, 1e-14);
  });

  it('ln Gamma(1/2) = ln sqrt(pi), ln Gamma(11) = ln 10!', () => {
    near(lnGamma(0.5), Math.log(Math.PI) / 2, 1e-14);
    near(lnGamma(11), Math.log(3628800), 1e-13);
  });
});

describe('sigma dissimilarity', () => {
  it.each([
    [1, 1, 1],
    [2, 2, 1.49338941066],
    [2, 4, 0.830942966064],
    [3, 4, 1.87277485983],
    [3, 6, 1.36079630192],
    [4, 6, 2.46362565122],
  ])('distance %f with k = %i (mpmath)', (d, k, want) => near(sigmaDissimilarity(d * d, k), want, 1e-11));

  it('one distance, D = 3, k = 1 to 6', () => {
    const want = [3, 2.5393, 2.1795, 1.8728, 1.6024, 1.3608];
    want.forEach((sigma, i) => near(sigmaDissimilarity(9, i + 1), sigma, 5e-5));
  });

  it('distances of 1, 2, 3 and 4 sigma, k = 1 to 6 (facts computed to three decimals; 2 sigma, k = 2: 2.4860)', () => {
    const distances = [
      [1, 2, 3, 4],
      [1.515, 2.486, 3.439, 4.397],
      [1.878, 2.833, 3.763, 4.697],
      [2.172, 3.117, 4.031, 4.95],
      [2.426, 3.364, 4.267, 5.174],
      [2.653, 3.585, 4.479, 5.377],
    ];
    distances.forEach((row, i) =>
      // A distance rounded to 0.0005 moves sigma by at most 0.0007.
      row.forEach((d, s) => near(sigmaDissimilarity(d * d, i + 1), s + 1, 7e-4)),
    );
    near(Math.sqrt(chiSquareUpperPoint(2 * normalTail(2), 2)), 2.486, 5e-5);
  });

  it('goes on growing where the probability is 1 to 16 digits, and where the tail itself underflows (mpmath)', () => {
    near(sigmaDissimilarity(100, 6), 8.98836723682562, 1e-12);
    near(sigmaDissimilarity(400, 6), 19.3337121796384, 1e-11);
    near(sigmaDissimilarity(1000, 3), 31.4037318063263, 1e-11);
    near(sigmaDissimilarity(3000, 6), 54.4397309022067, 1e-11);
    near(sigmaDissimilarity(3000, 7), 54.3818737373474, 1e-11);
    near(sigmaDissimilarity(10000, 6), 99.7880696317118, 1e-11);
    let last = -1;
    for (let d2 = 0; d2 < 3000; d2 += 0.5) {
      const s = sigmaDissimilarity(d2, 5);
      expect(s).toBeGreaterThan(last);
      last = s;
    }
    expect(sigmaDissimilarity(0, 5)).toBe(0);
    expect(sigmaDissimilarity(NaN, 5)).toBeNaN();
  });
});

describe('random numbers', () => {
  it('the 10 000th word of seed 5489 is 4123659995 (ISO C++ standard, [rand.predef], mt19937)', () => {
    // A number of 53 bits is made of two words; its lowest 26 bits are the upper 26 of the second.
    const random = rng(5489);
    for (let i = 1; i < 5000; i++) random();
    expect((random() * 2 ** 53) % 2 ** 26).toBe(4123659995 >>> 6);
  });

  it('gives the numbers of numpy.random.RandomState (numpy 2.4, run for this test)', () => {
    const random = rng(12345);
    expect([random(), random(), random()]).toEqual([
      0.9296160928171479, 0.3163755545817859, 0.18391881167709445,
    ]);
    const zero = rng(0);
    expect([zero(), zero()]).toEqual([0.5488135039273248, 0.7151893663724195]);
  });
});

describe('Wilson interval', () => {
  it('6 of 8 at 95 %: 0.409275430 to 0.928520787 (formula of Wilson 1927, computed with mpmath)', () => {
    const { low, high } = wilsonInterval(6, 8);
    near(low, 0.40927543, 1e-9);
    near(high, 0.928520787, 1e-9);
  });

  it('0 of 10 reaches from 0 to 0.2775 (Newcombe 1998, Statistics in Medicine 17:857-872, from memory)', () => {
    const { low, high } = wilsonInterval(0, 10);
    near(low, 0, 1e-15);
    near(high, 0.2775, 5e-5);
    expect(wilsonInterval(0, 0)).toEqual({ low: NaN, high: NaN });
  });
});
