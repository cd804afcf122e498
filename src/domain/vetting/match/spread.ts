import { fail, ok } from '../../base/result.ts';
import type { Result } from '../../base/result.ts';
import { LEAST_CELLS } from './chooseBasis.ts';
import type { Basis } from './chooseBasis.ts';
import { metric } from './metric.ts';
import { pooledCovariance } from './pooledCovariance.ts';
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
  /** Cells of each variable that its logarithm refuses; absent: none. */
  readonly refused?: readonly number[];
  /** Where the cells were drawn, from chooseBasis. */
  readonly basis: Basis;
}

/**
 * What counts as an ordinary difference: the pooled within-zone covariance of the cells, or the standard deviations that were
 * typed in, then without correlation, and with the cells only for the range of what the area holds.
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
  const { covariance, complete, held } = pooledCovariance(values, zoneOf, zones);
  if (basis.basis === 'typed')
    // A range of a handful of cells tells nothing of what the area holds.
    return ok(spreadOf(cells, diagonal(basis.sd), complete.length < LEAST_CELLS ? [] : complete, 0));

  if (complete.length < LEAST_CELLS || complete.length - held <= k)
    return fail(
      'variables',
      where,
      `Only ${complete.length} cells ${basis.from} hold a value of every variable, at least ${Math.max(LEAST_CELLS, held + k + 1)} are needed`,
      tooFew(cells),
    );
  const constant = variables.filter((_, v) => !(covariance[v * k + v] > 0));
  if (constant.length > 0)
    return fail(
      'variables',
      constant.join(', '),
      `No difference among the ${complete.length} reference cells ${basis.from}, so there is no spread to measure a candidate's difference against`,
      'Leave the variable out, or check the file and its band.',
    );
  return ok(spreadOf(cells, covariance, complete, basis.basis === 'zones' ? held : 0));
}

/** What to do where too few cells have all variables: more often than not one does not cover the area. */
function tooFew({ variables, refused = [], basis }: ReferenceCells): string {
  const zero = variables.filter((_, v) => refused[v] > 0);
  if (zero.length > 0)
    return `Compare ${zero.join(', ')} without the logarithm, which values of zero or less do not have.`;
  const wider = basis.basis === 'circle' && basis.instead === '' ? ', or choose a wider circle' : '';
  return `Check that the layers cover the area${wider}, or leave out the one that does not.`;
}

/** Variances of independent variables, k x k. */
function diagonal(sd: Float64Array): Float64Array {
  const k = sd.length;
  const covariance = new Float64Array(k * k);
  sd.forEach((s, v) => (covariance[v * k + v] = s * s));
  return covariance;
}

function spreadOf(
  { variables, values, basis }: ReferenceCells,
  covariance: Float64Array,
  complete: readonly number[],
  zones: number,
): Spread {
  const { kept, nearlySame } = metric(covariance, variables);
  const reference = values.map((column) => Float64Array.from(complete, (i) => column[i]).sort());
  return {
    covariance,
    variables,
    from: basis.from,
    basis: basis.basis,
    zones,
    cells: complete.length,
    reference,
    low: Float64Array.from(reference, (column) => column.at(0) ?? -Infinity),
    high: Float64Array.from(reference, (column) => column.at(-1) ?? Infinity),
    kept,
    nearlySame,
  };
}
