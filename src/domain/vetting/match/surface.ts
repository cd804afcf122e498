/** The match of millions of cells against the sites of a planting: one small record to send about, one tight loop. */
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

/**
 * A function from values to the match: `values` are k columns (file's units, before transforms; overwritten where a transform
 * is applied), `out` gets the least match over the sites, NaN where a variable is missing or has no logarithm.
 * The same number as `distance` gives, to rounding.
 */
export function surfaceKernel({
  variables,
  whitening,
  kept,
  sites,
}: SurfaceSpec): (values: readonly Column[], out: Column) => void {
  const k = variables.length;
  const tail = chiSquareWhole(kept);
  const logs = variables.flatMap((v, i) => (v.transform === 'log' ? [i] : []));
  const x = new Float64Array(k);
  const w = new Float64Array(kept);
  return (values, out) => {
    for (const v of logs) {
      const column = values[v];
      for (let i = 0; i < column.length; i++) column[i] = column[i] > 0 ? Math.log(column[i]) : NaN;
    }
    for (let i = 0; i < out.length; i++) {
      for (let v = 0; v < k; v++) x[v] = values[v][i];
      for (let r = 0, at = 0; r < kept; r++) {
        let sum = 0;
        for (let v = 0; v < k; v++) sum += whitening[at++] * x[v];
        w[r] = sum;
      }
      // The least match belongs to the greatest distance; one missing value leaves NaN in every sum.
      let farthest = 0;
      for (const site of sites) {
        let d2 = 0;
        for (let r = 0; r < kept; r++) d2 += (w[r] - site[r]) * (w[r] - site[r]);
        if (!(d2 <= farthest)) farthest = d2;
      }
      out[i] = tail(farthest);
    }
  };
}
