/**
 * Distribution functions that the match and the tables need: normal, chi-square, incomplete gamma, Wilson's interval.
 * Upper tails are computed as such, never as 1 - cdf, so that a tail of 1e-200 keeps its digits.
 */
const SQRT1_PI = 0.5641895835477563; // 1 / sqrt(pi)
const LN_SQRT_2PI = 0.9189385332046727; // ln sqrt(2 pi)

/** c[0] x^n + ... + c[n]. */
function poly(c: readonly number[], x: number): number {
  let s = c[0];
  for (let i = 1; i < c.length; i++) s = s * x + c[i];
  return s;
}

// Rational approximations of W. J. Cody 1969, Math. Comp. 23:631-637 (coefficients of the CALERF routine, written as
// the nearest double).
const ERF_N = [
  0.18577770618460315, 3.1611237438705655, 113.86415415105016, 377.485237685302, 3209.3775891384694,
];
const ERF_D = [1, 23.601290952344122, 244.02463793444417, 1282.6165260773723, 2844.236833439171];
const MID_N = [
  2.1531153547440383e-8, 0.5641884969886701, 8.883149794388377, 66.11919063714163, 298.6351381974001,
  881.952221241769, 1712.0476126340707, 2051.0783778260716, 1230.3393547979972,
];
const MID_D = [
  1, 15.744926110709835, 117.6939508913125, 537.1811018620099, 1621.3895745666903, 3290.7992357334597,
  4362.619090143247, 3439.3676741437216, 1230.3393548037495,
];
const FAR_N = [
  0.016315387137302097, 0.30532663496123236, 0.36034489994980445, 0.12578172611122926, 0.016083785148742275,
  0.0006587491615298378,
];
const FAR_D = [
  1, 2.568520192289822, 1.8729528499234673, 0.5279051029514285, 0.06051834131244132, 0.0023352049762686918,
];

/** exp(x²) erfc(x) for x >= 0: the scaled complementary error function, which does not underflow. */
export function erfcx(x: number): number {
  if (x <= 0.46875) return Math.exp(x * x) * (1 - (x * poly(ERF_N, x * x)) / poly(ERF_D, x * x));
  if (x <= 4) return poly(MID_N, x) / poly(MID_D, x);
  const y = 1 / (x * x);
  return (SQRT1_PI - (y * poly(FAR_N, y)) / poly(FAR_D, y)) / x;
}

/** exp(-x²) with the rounding error of x² taken out (matters for the relative accuracy of far tails). */
function expMinusSquare(x: number): number {
  const head = Math.trunc(x * 16) / 16;
  return Math.exp(-head * head) * Math.exp(-(x - head) * (x + head));
}

/** Complementary error function 1 - erf(x), relative accuracy about 1e-15 (Cody 1969). */
export function erfc(x: number): number {
  if (x < 0) return 2 - erfc(-x);
  if (x <= 0.46875) return 1 - (x * poly(ERF_N, x * x)) / poly(ERF_D, x * x);
  return x > 27.3 ? 0 : expMinusSquare(x) * erfcx(x);
}

/** Standard normal distribution function, P(Z <= z). */
export function normalCdf(z: number): number {
  return 0.5 * erfc(-z * Math.SQRT1_2);
}

/** Standard normal upper tail, P(Z > z). */
export function normalTail(z: number): number {
  return 0.5 * erfc(z * Math.SQRT1_2);
}

// Algorithm AS 241 (PPND16), Wichura 1988, Applied Statistics 37:477-484; highest power first.
const Q_A = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946,
  1971.5909503065513, 133.14166789178438, 3.3871328727963665,
];
const Q_B = [
  5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751,
  687.1870074920579, 42.31333070160091, 1,
];
const Q_C = [
  0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
  5.769497221460691, 4.630337846156546, 1.4234371107496835,
];
const Q_D = [
  1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
  1.6763848301838038, 2.053191626637759, 1,
];
const Q_E = [
  2.0103343992922881e-7, 2.7115555687434876e-5, 0.0012426609473880784, 0.026532189526576124,
  0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103,
];
const Q_F = [
  2.0442631033899397e-15, 1.421511758316446e-7, 1.8463183175100548e-5, 0.0007868691311456133,
  0.014875361290850615, 0.1369298809227358, 0.599832206555888, 1,
];

/** z whose upper tail is exp(lnP), for lnP < ln 0.075; far out by Newton's method on the asymptotic series. */
function farQuantile(lnP: number): number {
  const r = Math.sqrt(-lnP);
  if (r <= 5) return poly(Q_C, r - 1.6) / poly(Q_D, r - 1.6);
  if (r <= 26) return poly(Q_E, r - 5) / poly(Q_F, r - 5);
  // ln tail(z) = -z²/2 - ln(z sqrt(2 pi)) + ln(1 - 1/z² + 3/z⁴ - 15/z⁶ ...); here z > 36 and four terms are exact to 1e-15.
  let z = Math.sqrt(-2 * lnP);
  for (let i = 0; i < 4; i++) {
    const w = 1 / (z * z);
    const lnTail = -0.5 * z * z - Math.log(z) - LN_SQRT_2PI + Math.log1p(w * (-1 + w * (3 - 15 * w)));
    z += (lnTail - lnP) / (z + 1 / z);
  }
  return z;
}

/** z with P(Z > z) = p, relative accuracy about 1e-15 (Wichura 1988). 0 gives Infinity, 1 gives -Infinity. */
export function normalUpperQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return NaN;
  if (p === 0) return Infinity;
  if (p === 1) return -Infinity;
  const q = 0.5 - p;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * poly(Q_A, r)) / poly(Q_B, r);
  }
  return q > 0 ? farQuantile(Math.log(p)) : -farQuantile(Math.log1p(-p));
}

/** z with P(Z <= z) = p. For p near 1 use `normalUpperQuantile`, which keeps the digits of the tail. */
export function normalQuantile(p: number): number {
  return -normalUpperQuantile(p);
}

// Lanczos approximation with g = 7, n = 9 (coefficients of P. Godfrey 2001).
const LANCZOS = [
  0.9999999999998099, 676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406,
  12.507343278686905, -0.13857109526572012, 9.984369578019572e-6, 1.5056327351493116e-7,
];

/** Natural logarithm of the gamma function for a > 0, about 1e-14 (Lanczos 1964). */
export function lnGamma(a: number): number {
  if (a < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * a)) - lnGamma(1 - a);
  const t = a + 6.5;
  let s = LANCZOS[0];
  for (let i = 1; i < 9; i++) s += LANCZOS[i] / (a - 1 + i);
  return LN_SQRT_2PI + (a - 0.5) * Math.log(t) - t + Math.log(s);
}

/** P by its power series, for x < a + 1. */
function gammaSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; n < 10_000 && term > sum * 1e-17; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum * Math.exp(a * Math.log(x) - x - lnGamma(a));
}

/** Q by Legendre's continued fraction, evaluated by Lentz's method, for x >= a + 1. */
function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let i = 1; i < 10_000; i++) {
    const an = -i * (i - a);
    b += 2;
    d = 1 / (an * d + b);
    c = b + an / c;
    const step = c * d;
    h *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return h * Math.exp(a * Math.log(x) - x - lnGamma(a));
}

/** Regularised lower incomplete gamma function P(a, x), a > 0, x >= 0 (Abramowitz & Stegun 6.5.1, 6.5.29, 6.5.31). */
export function gammaLower(a: number, x: number): number {
  if (!(a > 0) || !(x >= 0)) return NaN;
  if (x === 0) return 0;
  if (x === Infinity) return 1;
  return x < a + 1 ? gammaSeries(a, x) : 1 - gammaFraction(a, x);
}

/** Regularised upper incomplete gamma function Q(a, x) = 1 - P(a, x). */
export function gammaUpper(a: number, x: number): number {
  if (!(a > 0) || !(x >= 0)) return NaN;
  if (x === 0) return 1;
  if (x === Infinity) return 0;
  return x < a + 1 ? 1 - gammaSeries(a, x) : gammaFraction(a, x);
}

/** Chi-square distribution function, P(X <= x) with k degrees of freedom (k > 0, need not be whole). */
export function chiSquareCdf(x: number, k: number): number {
  return gammaLower(k / 2, x / 2);
}

/**
 * exp(x/2) times the chi-square upper tail for whole k >= 1, in closed form (Abramowitz & Stegun 26.4.4, 26.4.5):
 * even k: sum of y^j / j!, j < k/2; odd k: erfcx(sqrt y) + sum of y^(j-1/2) / Gamma(j + 1/2), with y = x/2.
 */
function scaledTail(x: number, k: number): number {
  const y = x / 2;
  let sum: number;
  let term: number;
  let next: number;
  if (k % 2 === 0) {
    sum = term = next = 1;
  } else {
    const root = Math.sqrt(y);
    sum = erfcx(root);
    if (k === 1) return sum;
    term = 2 * SQRT1_PI * root;
    sum += term;
    next = 1.5;
  }
  for (; next < k / 2; next++) {
    term *= y / next;
    sum += term;
  }
  return sum;
}

/** Chi-square upper tail, P(X > x) with k degrees of freedom; closed form where k is whole. */
export function chiSquareTail(x: number, k: number): number {
  if (!(x >= 0) || !(k > 0)) return NaN;
  if (x === Infinity) return 0;
  return Number.isInteger(k) && k <= 100 ? Math.exp(-x / 2) * scaledTail(x, k) : gammaUpper(k / 2, x / 2);
}

/** x with P(X > x) = tail, chi-square with k degrees of freedom: the points of the handbook tables. */
export function chiSquareUpperPoint(tail: number, k: number): number {
  if (!(tail >= 0 && tail <= 1) || !(k > 0)) return NaN;
  if (tail === 0) return Infinity;
  if (tail === 1) return 0;
  // Start: Wilson & Hilferty 1931. Then Newton's method held inside a bracket that only shrinks.
  const h = 2 / (9 * k);
  let low = 0;
  let high = Infinity;
  let x = k * Math.max(1e-3, 1 - h + normalUpperQuantile(tail) * Math.sqrt(h)) ** 3;
  for (let i = 0; i < 200; i++) {
    const error = tail < 0.5 ? chiSquareTail(x, k) - tail : 1 - tail - chiSquareCdf(x, k);
    if (error > 0) low = x;
    else high = x;
    const density = Math.exp((k / 2 - 1) * Math.log(x / 2) - x / 2 - lnGamma(k / 2)) / 2;
    let next = x + error / density;
    if (!(next > low && next < high)) next = high === Infinity ? 2 * x : (low + high) / 2;
    if (Math.abs(next - x) <= 1e-15 * x) return next;
    x = next;
  }
  return x;
}

/** x with P(X <= x) = p, chi-square with k degrees of freedom. */
export function chiSquareQuantile(p: number, k: number): number {
  return chiSquareUpperPoint(1 - p, k);
}

/**
 * Sigma dissimilarity (Mahony et al. 2017, Global Change Biology 23:3934-3955): the half-normal quantile of the
 * chi-square probability of D², Phi^-1((1 + F)/2), taken through the tail and its logarithm so that it goes on growing.
 * @param d2 squared distance, @param k whole degrees of freedom.
 */
export function sigmaDissimilarity(d2: number, k: number): number {
  const tail = chiSquareTail(d2, k);
  if (tail > 1e-290 || !(d2 < Infinity)) return normalUpperQuantile(tail / 2);
  return farQuantile(Math.log(scaledTail(d2, k) / 2) - d2 / 2);
}

/** Share of successes with Wilson's score interval (Wilson 1927, JASA 22:209-212). */
export function wilsonInterval(
  successes: number,
  n: number,
  confidence = 0.95,
): { low: number; high: number } {
  if (!(n > 0)) return { low: NaN, high: NaN };
  const z = normalUpperQuantile((1 - confidence) / 2);
  const p = successes / n;
  const centre = p + (z * z) / (2 * n);
  const half = z * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n));
  const scale = 1 + (z * z) / n;
  return { low: Math.max(0, (centre - half) / scale), high: Math.min(1, (centre + half) / scale) };
}
