import { cholesky, choleskySolve } from './linalg.ts';

/**
 * Logistic regression with a ridge penalty (le Cessie & van Houwelingen 1992, Applied Statistics 41:191-201) and an offset:
 * least -Σ log likelihood + λ/2 Σ b², the log odds of row i being offset_i + Σ x b. Every coefficient is penalised, so the
 * least is one point, whatever the rows (no singular case, none of complete separation).
 */
export interface RidgeLogistic {
  /** For each row the coefficients that bear on it, and their factors x. */
  readonly rows: ReadonlyArray<{ readonly at: ArrayLike<number>; readonly x: ArrayLike<number> }>;
  readonly offset: ArrayLike<number>;
  readonly success: ArrayLike<boolean>;
  readonly coefficients: number;
  readonly lambda: number;
}

/** Greatest entry of the gradient at which a solution counts as found. */
const CLOSE = 1e-10;
const MOST_STEPS = 200;

/** The coefficients, by Newton's method with a line search. */
export function ridgeLogistic(problem: RidgeLogistic): Float64Array {
  return newton(problem, new Float64Array(problem.coefficients), -1);
}

/**
 * For each row the coefficients that are fitted without it.
 *
 * Steps go from `all` by the curvature that `all` has, less that row's own part (Sherman & Morrison 1950), with the exact
 * gradient: a few multiplications a step in place of a new factorisation. What does not get there so is left to Newton.
 *
 * @param all the solution on all rows.
 */
export function leaveOneOut(problem: RidgeLogistic, all: Float64Array): Float64Array[] {
  const { rows, coefficients: m } = problem;
  const curvature = hessian(problem, all, -1);
  const l = cholesky(curvature, m);
  const inverse = new Float64Array(m * m);
  const unit = new Float64Array(m);
  for (let j = 0; j < m; j++) {
    unit.fill(0)[j] = 1;
    inverse.set(choleskySolve(l, m, unit), j * m);
  }
  const times = (g: ArrayLike<number>): Float64Array => {
    const out = new Float64Array(m);
    for (let r = 0; r < m; r++) for (let c = 0; c < m; c++) out[r] += inverse[r * m + c] * g[c];
    return out;
  };
  return rows.map((row, i) => {
    const x = new Float64Array(m);
    for (let k = 0; k < row.at.length; k++) x[row.at[k]] += row.x[k];
    const u = times(x);
    const p = chance(problem, all, i);
    const w = p * (1 - p);
    const left = 1 - w * dot(x, u);
    const b = Float64Array.from(all);
    for (let step = 0; step < 40; step++) {
      const g = gradient(problem, b, i);
      if (largest(g) < CLOSE) return b;
      const d = times(g);
      const own = (w * dot(u, g)) / left;
      for (let j = 0; j < m; j++) b[j] -= d[j] + u[j] * own;
    }
    return newton(problem, Float64Array.from(all), i);
  });
}

/** @param without row that is left out, -1 none. */
function newton(problem: RidgeLogistic, start: Float64Array, without: number): Float64Array {
  const { coefficients: m } = problem;
  let b = start;
  let height = loss(problem, b, without);
  for (let step = 0; step < MOST_STEPS; step++) {
    const g = gradient(problem, b, without);
    if (largest(g) < CLOSE) return b;
    const d = choleskySolve(cholesky(hessian(problem, b, without), m), m, g);
    const slope = dot(g, d);
    // Armijo's rule; near the bottom the fall is less than the rounding of the height.
    const rounding = 1e-13 * (1 + Math.abs(height));
    for (let t = 1; ; t /= 2) {
      const next = Float64Array.from(b, (x, j) => x - t * d[j]);
      const at = loss(problem, next, without);
      if (!(at <= height - 1e-4 * t * slope + rounding) && t > 1e-10) continue;
      b = next;
      height = at;
      break;
    }
  }
  throw new Error('ridgeLogistic: no solution was reached; a row is not finite');
}

function logOdds({ rows, offset }: RidgeLogistic, b: Float64Array, i: number): number {
  const { at, x } = rows[i];
  let sum = offset[i];
  for (let k = 0; k < at.length; k++) sum += x[k] * b[at[k]];
  return sum;
}

const chance = (problem: RidgeLogistic, b: Float64Array, i: number): number =>
  1 / (1 + Math.exp(-logOdds(problem, b, i)));

function loss(problem: RidgeLogistic, b: Float64Array, without: number): number {
  let sum = (problem.lambda / 2) * dot(b, b);
  for (let i = 0; i < problem.rows.length; i++) {
    if (i === without) continue;
    // -log of the likelihood of the outcome is log(1 + exp(z)), where z speaks against it.
    const z = problem.success[i] ? -logOdds(problem, b, i) : logOdds(problem, b, i);
    sum += Math.max(z, 0) + Math.log1p(Math.exp(-Math.abs(z)));
  }
  return sum;
}

function gradient(problem: RidgeLogistic, b: Float64Array, without: number): Float64Array {
  const { rows, success, lambda } = problem;
  const g = Float64Array.from(b, (x) => lambda * x);
  for (let i = 0; i < rows.length; i++) {
    if (i === without) continue;
    const over = chance(problem, b, i) - (success[i] ? 1 : 0);
    const { at, x } = rows[i];
    for (let k = 0; k < at.length; k++) g[at[k]] += over * x[k];
  }
  return g;
}

function hessian(problem: RidgeLogistic, b: Float64Array, without: number): Float64Array {
  const { rows, coefficients: m, lambda } = problem;
  const h = new Float64Array(m * m);
  for (let j = 0; j < m; j++) h[j * m + j] = lambda;
  for (let i = 0; i < rows.length; i++) {
    if (i === without) continue;
    const p = chance(problem, b, i);
    const w = p * (1 - p);
    const { at, x } = rows[i];
    for (let r = 0; r < at.length; r++)
      for (let c = 0; c < at.length; c++) h[at[r] * m + at[c]] += w * x[r] * x[c];
  }
  return h;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}

function largest(a: ArrayLike<number>): number {
  let most = 0;
  for (let i = 0; i < a.length; i++) most = Math.max(most, Math.abs(a[i]));
  return most;
}
