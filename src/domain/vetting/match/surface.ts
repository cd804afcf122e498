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
      for (const sum of d2) sum.fill(0);
      for (let r = 0; r < kept; r++) {
        const row = upper.subarray(r * k, (r + 1) * k);
        let v = r;
        if (sites.length === 1 && k - v <= 6) {
          (k - v <= 3 ? threeSquared : sixSquared)(d2[0], values, v, row, from, n, turned[0][r]);
          continue;
        }
        // One column after another in short loops: three times as fast as cell by cell.
        w.fill(0);
        for (; v + 2 < k; v += 3) addThree(w, values, v, row, from, n);
        for (; v < k; v++) addOne(w, values[v], row[v], from, n);
        sites.forEach((_, s) => addSquares(d2[s], w, turned[s][r], n));
      }
      // The least match belongs to the greatest distance; one missing value leaves NaN in every sum.
      const [farthest, ...others] = d2;
      for (const other of others)
        for (let i = 0; i < n; i++) if (other[i] > farthest[i]) farthest[i] = other[i];
      for (let i = 0; i < n; i++) out[from + i] = tail(farthest[i]);
    }
  };
}

/** Adds the squares of a sum of up to three columns less the site's, all in registers. */
function threeSquared(
  d2: Float64Array,
  values: readonly Column[],
  v: number,
  row: Float64Array,
  from: number,
  n: number,
  site: number,
): void {
  // Of fewer columns the last again, times 0: a value that it lacks is lacking already.
  const at = (i: number): Column => values[Math.min(v + i, values.length - 1)];
  const [x, y, z] = [at(0), at(1), at(2)];
  const [a, b = 0, c = 0] = row.subarray(v);
  for (let i = 0; i < n; i++) {
    const j = from + i;
    const s = a * x[j] + b * y[j] + c * z[j] - site;
    d2[i] += s * s;
  }
}

/** The same of four to six. */
function sixSquared(
  d2: Float64Array,
  values: readonly Column[],
  v: number,
  row: Float64Array,
  from: number,
  n: number,
  site: number,
): void {
  const at = (i: number): Column => values[Math.min(v + i, values.length - 1)];
  const [x, y, z, p, q, u] = [at(0), at(1), at(2), at(3), at(4), at(5)];
  const [a, b, c, d, e = 0, f = 0] = row.subarray(v);
  for (let i = 0; i < n; i++) {
    const j = from + i;
    const s = a * x[j] + b * y[j] + c * z[j] + d * p[j] + e * q[j] + f * u[j] - site;
    d2[i] += s * s;
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
