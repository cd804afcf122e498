/** The match of millions of cells against the sites of a planting: one small record to send about, one tight loop. */
import { chiSquareTable } from '../../base/chiSquareTable.ts';
import { chiSquareWhole } from '../../base/chiSquareWhole.ts';
import { metric } from './metric.ts';
import { transform } from './transform.ts';
import type { ChosenVariable, SiteReading, Spread, SurfaceSpec } from './types.ts';

/**
 * @param spread of the same variables in the same order. @param sites readings of the planting's sites (file's units).
 * @param key of all inputs: plan, layers, sites.
 */
export function surfaceSpec(
  variables: readonly ChosenVariable[],
  spread: Pick<Spread, 'covariance' | 'variables'>,
  sites: readonly SiteReading[],
  key: string,
): SurfaceSpec {
  const k = variables.length;
  const { whitening, kept } = metric(spread.covariance, spread.variables);
  return {
    key,
    variables: variables.map((v) => ({ layer: v.layer.id, transform: v.variable.transform })),
    whitening,
    kept,
    sites: sites.map((site) => {
      const x = variables.map(
        (v, i) => transform(Float64Array.of(site.values[i]), v.variable.transform).values[0],
      );
      return Float64Array.from({ length: kept }, (_, r) =>
        x.reduce((sum, value, i) => sum + whitening[r * k + i] * value, 0),
      );
    }),
  };
}

type Column = Float32Array | Float64Array;

/** Cells taken through all sums together, so that what is between stays in the processor's cache. */
const CHUNK = 2048;

/**
 * A function from values to the match: `values` are k columns (file's units, before transforms; overwritten where a transform
 * is applied), `out` gets the least match over the sites, NaN where a variable is missing or has no logarithm, at the cell or
 * at any of the sites.
 * The same number as `distance` gives, to rounding.
 */
export function surfaceKernel(spec: SurfaceSpec): (values: readonly Column[], out: Column) => void {
  const { variables, kept, sites } = spec;
  const k = variables.length;
  if (sites.some((site) => site.some(Number.isNaN))) return (_values, out) => void out.fill(NaN);
  const exact = chiSquareWhole(kept);
  const table = chiSquareTable(kept);
  const logs = variables.flatMap((v, i) => (v.transform === 'log' ? [i] : []));
  const { upper, turned } = triangular(spec);
  const w = new Float64Array(CHUNK);
  const d2 = sites.map(() => new Float64Array(CHUNK));
  return (values, out) => {
    const tail = out instanceof Float32Array ? table : exact;
    for (const v of logs) {
      const column = values[v];
      for (let i = 0; i < column.length; i++) column[i] = column[i] > 0 ? Math.log(column[i]) : NaN;
    }
    for (let from = 0; from < out.length; from += CHUNK) {
      const n = Math.min(CHUNK, out.length - from);
      if (k <= 6 && sites.length === 1) sixAtOnce(d2[0], values, upper, kept, turned[0], from, n);
      else {
        for (const sum of d2) sum.fill(0);
        for (let r = 0; r < kept; r++) {
          const row = upper.subarray(r * k, (r + 1) * k);
          // One column after another in short loops: three times as fast as cell by cell.
          let v = r;
          w.fill(0);
          for (; v + 2 < k; v += 3) addThree(w, values, v, row, from, n);
          for (; v < k; v++) addOne(w, values[v], row[v], from, n);
          sites.forEach((_, s) => addSquares(d2[s], w, turned[s][r], n));
        }
      }
      // The least match belongs to the greatest distance; one missing value leaves NaN in every sum.
      const [farthest, ...others] = d2;
      for (const other of others)
        for (let i = 0; i < n; i++) if (other[i] > farthest[i]) farthest[i] = other[i];
      for (let i = 0; i < n; i++) out[from + i] = tail(farthest[i]);
    }
  };
}

/**
 * D² against one site from up to six columns, all of a cell in registers: half the time of the general loops.
 * @param upper triangular, k x k; fewer columns than six are filled up with the last one, times 0 (a value that it lacks is
 * lacking already).
 */
function sixAtOnce(
  d2: Float64Array,
  values: readonly Column[],
  upper: Float64Array,
  kept: number,
  site: Float64Array,
  from: number,
  n: number,
): void {
  const k = values.length;
  const column = (v: number): Column => values[Math.min(v, k - 1)];
  const at = (r: number, v: number): number => (r < kept && v < k ? upper[r * k + v] : 0);
  const to = (r: number): number => (r < kept ? site[r] : 0);
  const [x, y, z, p, q, u] = [column(0), column(1), column(2), column(3), column(4), column(5)];
  const [a0, a1, a2, a3, a4, a5, at0] = [at(0, 0), at(0, 1), at(0, 2), at(0, 3), at(0, 4), at(0, 5), to(0)];
  const [b1, b2, b3, b4, b5, bt] = [at(1, 1), at(1, 2), at(1, 3), at(1, 4), at(1, 5), to(1)];
  const [c2, c3, c4, c5, ct] = [at(2, 2), at(2, 3), at(2, 4), at(2, 5), to(2)];
  const [e3, e4, e5, et] = [at(3, 3), at(3, 4), at(3, 5), to(3)];
  const [f4, f5, ft] = [at(4, 4), at(4, 5), to(4)];
  const [g5, gt] = [at(5, 5), to(5)];
  for (let i = 0; i < n; i++) {
    const j = from + i;
    const xi = x[j];
    const yi = y[j];
    const zi = z[j];
    const pi = p[j];
    const qi = q[j];
    const ui = u[j];
    const a = a0 * xi + a1 * yi + a2 * zi + a3 * pi + a4 * qi + a5 * ui - at0;
    const b = b1 * yi + b2 * zi + b3 * pi + b4 * qi + b5 * ui - bt;
    const c = c2 * zi + c3 * pi + c4 * qi + c5 * ui - ct;
    const e = e3 * pi + e4 * qi + e5 * ui - et;
    const f = f4 * qi + f5 * ui - ft;
    const g = g5 * ui - gt;
    d2[i] = a * a + b * b + c * c + e * e + f * f + g * g;
  }
}

function addOne(sum: Float64Array, x: Column, a: number, from: number, n: number): void {
  for (let i = 0; i < n; i++) sum[i] += a * x[from + i];
}

function addThree(
  sum: Float64Array,
  values: readonly Column[],
  v: number,
  row: Float64Array,
  from: number,
  n: number,
): void {
  const [x, y, z] = [values[v], values[v + 1], values[v + 2]];
  const [a, b, c] = [row[v], row[v + 1], row[v + 2]];
  for (let i = 0; i < n; i++) sum[i] += a * x[from + i] + b * y[from + i] + c * z[from + i];
}

function addSquares(sum: Float64Array, w: Float64Array, site: number, n: number): void {
  for (let i = 0; i < n; i++) sum[i] += (w[i] - site) * (w[i] - site);
}

/**
 * The whitening turned until nothing is left of it below the diagonal (rotations of Givens 1958), and the sites with it:
 * distances stay, and there is half as much to multiply.
 */
function triangular({ variables, whitening, kept, sites }: SurfaceSpec): {
  readonly upper: Float64Array;
  readonly turned: readonly Float64Array[];
} {
  const k = variables.length;
  const upper = whitening.slice();
  const turned = sites.map((site) => site.slice());
  for (let c = 0; c < Math.min(k, kept); c++)
    for (let r = kept - 1; r > c; r--) {
      const [p, q] = [upper[(r - 1) * k + c], upper[r * k + c]];
      const length = Math.hypot(p, q);
      if (length === 0) continue;
      const [cos, sin] = [p / length, q / length];
      const turn = (a: Float64Array, i: number, j: number): void => {
        [a[i], a[j]] = [cos * a[i] + sin * a[j], cos * a[j] - sin * a[i]];
      };
      for (let v = 0; v < k; v++) turn(upper, (r - 1) * k + v, r * k + v);
      for (const site of turned) turn(site, r - 1, r);
    }
  return { upper, turned };
}
