import type { Transform } from '../../layers/definition.ts';

export interface Transformed {
  readonly values: Float64Array;
  /** Values that the transform does not allow (zero or less under log) and that are missing now: for a note. */
  readonly refused: number;
}

/** A variable's values as the match compares them: as they are, or their natural logarithm. Missing stays NaN. */
export function transform(values: Float64Array, how: Transform): Transformed {
  if (how === 'identity') return { values, refused: 0 };
  let refused = 0;
  const out = values.map((x) => {
    if (x > 0) return Math.log(x);
    if (x <= 0) refused++;
    return NaN;
  });
  return { values: out, refused };
}
