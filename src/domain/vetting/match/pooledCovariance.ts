/** Scatter within zones: covariance S of the complete cells about the means of their own zones. */
export interface Pooled {
  /** S, k x k row-major; NaN where no scatter is left (as many zones as cells). */
  readonly covariance: Float64Array;
  /** Rows of the cells with a value of every variable. */
  readonly complete: readonly number[];
  /** Complete cells of each zone. */
  readonly count: Float64Array;
  /** Zones with a complete cell. */
  readonly held: number;
}

/**
 * Pooled within-zone covariance S: scatter of the cells about their own zone's mean, summed over zones, divided by
 * (cells - zones) (methods, environmental match; the pooled covariance of discriminant analysis, Rao 1948). Cells with a
 * missing variable are left out, and zones without a complete cell are not counted.
 * @param values k columns, one row a cell, after transforms; NaN missing. @param zoneOf zone of each cell.
 */
export function pooledCovariance(values: readonly Float64Array[], zoneOf: Int32Array, zones: number): Pooled {
  const k = values.length;
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
      if (isFirst) origin[z + v] = values[v][i];
      else sum[z + v] += values[v][i] - origin[z + v];
    }
  }
  const held = count.reduce((n, c) => n + (c > 0 ? 1 : 0), 0);
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
  return { covariance, complete, count, held };
}
