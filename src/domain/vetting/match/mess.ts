/**
 * Multivariate environmental similarity surface (Elith, Kearney & Phillips 2010, Methods in Ecology and Evolution 1:330-342,
 * appendix S3), 100 = in the middle of the reference, under 0 = outside it.
 */
export interface Similarity {
  /** The lowest of the variables' similarities; NaN where one is missing or there is no reference. */
  readonly mess: Float64Array;
  /** Which variable has it, the first of equals; -1 unknown. */
  readonly unlike: Int8Array;
}

/** Reference values strictly below x, in a column in rising order. */
function below(reference: Float64Array, x: number): number {
  let from = 0;
  let to = reference.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if (reference[middle] < x) from = middle + 1;
    else to = middle;
  }
  return from;
}

/** Outside a reference that is all one value there is no range to measure by: as a whole range away (ours). */
const OFF_A_CONSTANT = -100;

/**
 * Similarity of one value to one variable's reference, in rising order: f is the share of it strictly below the value (an
 * open implementation that counts equal values too gives others at ties). Under 0 just where the value lies outside the
 * range of the reference, which is what `novel` of `distance` marks; 0 at the least, and where all of it is this one value.
 */
export function similarity(reference: Float64Array, x: number): number {
  const n = reference.length;
  if (n === 0 || Number.isNaN(x)) return NaN;
  const least = reference[0];
  const most = reference[n - 1];
  if (least === most) return x === least ? 0 : OFF_A_CONSTANT;
  const under = below(reference, x);
  if (under === 0) return (100 * (x - least)) / (most - least);
  if (under === n) return (100 * (most - x)) / (most - least);
  const f = (100 * under) / n;
  return f <= 50 ? 2 * f : 2 * (100 - f);
}

/**
 * Similarity of n places: of each the variable that is least like the reference.
 * @param values k columns of n values, after transforms. @param reference k columns, each in rising order; empty: NaN.
 */
export function mess(reference: readonly Float64Array[], values: readonly Float64Array[]): Similarity {
  const n = values[0].length;
  const lowest = new Float64Array(n).fill(NaN);
  const unlike = new Int8Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    for (let v = 0; v < values.length; v++) {
      const s = similarity(reference[v], values[v][i]);
      if (Number.isNaN(s)) {
        lowest[i] = NaN;
        unlike[i] = -1;
        break;
      }
      if (v === 0 || s < lowest[i]) {
        lowest[i] = s;
        unlike[i] = v;
      }
    }
  }
  return { mess: lowest, unlike };
}
