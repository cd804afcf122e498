import { fail, ok } from '../../base/result.ts';
import type { Result } from '../../base/result.ts';
import { LEAST_CELLS } from './chooseBasis.ts';
import type { Basis } from './chooseBasis.ts';
import { metric } from './metric.ts';
import type { Spread } from './types.ts';

/** One bit of `novel` a variable. */
export const MOST_VARIABLES = 31;

export interface ReferenceCells {
  /** Names of the variables, k. */
  readonly variables: readonly string[];
  /** One column a variable, one row a cell, after transforms; NaN missing. */
  readonly values: readonly Float64Array[];
  /** Zone of each cell, 0 .. zones - 1 (all 0 for the circle). */
  readonly zoneOf: Int32Array;
  readonly zones: number;
  /** Where the cells were drawn, from chooseBasis. */
  readonly basis: Basis;
}

/**
 * Pooled within-zone covariance S: scatter of the cells about their own zone's mean, summed over zones, divided by
 * (cells - zones) (methods, environmental match; the pooled covariance of discriminant analysis, Rao 1948). Cells with a
 * missing variable are left out, and zones without a complete cell are not counted.
 *
 * Failures, all 'variables': none or too many variables, fewer than 30 complete cells, a variable that is the same in
 * all cells of every zone (no difference could be measured against it).
 */
export function spread(cells: ReferenceCells): Result<Spread> {
  const { variables, values, zoneOf, zones, basis } = cells;
  const k = variables.length;
  const where = 'Match';
  if (k === 0)
    return fail(
      'variables',
      where,
      'No variable is chosen',
      'Choose at least one climate, terrain or soil layer.',
    );
  if (k > MOST_VARIABLES)
    return fail(
      'variables',
      where,
      `${k} variables are chosen, at most ${MOST_VARIABLES} can be compared`,
      'Choose fewer.',
    );

  const low = new Float64Array(k).fill(Infinity);
  const high = new Float64Array(k).fill(-Infinity);
  const count = new Float64Array(zones);
  // Values are taken relative to the zone's first complete cell: sums stay small, and a constant gives exactly zero.
  const origin = new Float64Array(zones * k);
  const sum = new Float64Array(zones * k);
  const complete: number[] = [];
  for (let i = 0; i < zoneOf.length; i++) {
    if (!values.every((column) => Number.isFinite(column[i]))) continue;
    complete.push(i);
    const z = zoneOf[i] * k;
    const isFirst = count[zoneOf[i]]++ === 0;
    for (let v = 0; v < k; v++) {
      const x = values[v][i];
      if (x < low[v]) low[v] = x;
      if (x > high[v]) high[v] = x;
      if (isFirst) origin[z + v] = x;
      else sum[z + v] += x - origin[z + v];
    }
  }
  const held = count.reduce((n, c) => n + (c > 0 ? 1 : 0), 0);
  if (complete.length < LEAST_CELLS || complete.length - held <= k)
    return fail(
      'variables',
      where,
      `Only ${complete.length} cells ${basis.from} hold a value of every variable, at least ${Math.max(LEAST_CELLS, held + k + 1)} are needed`,
      'Check that the layers cover the area, or leave out the one that does not.',
    );

  const covariance = new Float64Array(k * k);
  const d = new Float64Array(k);
  for (const i of complete) {
    const z = zoneOf[i];
    for (let v = 0; v < k; v++) d[v] = values[v][i] - origin[z * k + v] - sum[z * k + v] / count[z];
    for (let v = 0; v < k; v++) for (let w = v; w < k; w++) covariance[v * k + w] += d[v] * d[w];
  }
  for (let v = 0; v < k; v++)
    for (let w = v; w < k; w++) {
      covariance[v * k + w] /= complete.length - held;
      covariance[w * k + v] = covariance[v * k + w];
    }
  const constant = variables.filter((_, v) => !(covariance[v * k + v] > 0));
  if (constant.length > 0)
    return fail(
      'variables',
      constant.join(', '),
      `No difference among the ${complete.length} reference cells ${basis.from}, so there is no spread to measure a candidate's difference against`,
      'Leave the variable out, or check the file and its band.',
    );

  const { kept, nearlySame } = metric(covariance, variables);
  return ok({
    covariance,
    variables,
    from: basis.from,
    basis: basis.basis,
    zones: basis.basis === 'zones' ? held : 0,
    cells: complete.length,
    reference: values.map((column) => Float64Array.from(complete, (i) => column[i]).sort()),
    low,
    high,
    kept,
    nearlySame,
  });
}
