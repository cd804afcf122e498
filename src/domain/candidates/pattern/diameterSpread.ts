/** Fewer diameters say nothing of their spread. */
export const LEAST_DIAMETERS = 5;

/** How many diameters are known, their mean (cm) and their coefficient of variation (n - 1); NaN under five. */
export function diameterSpread(
  dbh: Float64Array,
  rows: Int32Array,
): { readonly known: number; readonly mean: number; readonly spread: number } {
  const known = Array.from(rows, (i) => dbh[i]).filter((d) => d > 0);
  if (known.length === 0) return { known: 0, mean: NaN, spread: NaN };
  const mean = known.reduce((sum, d) => sum + d, 0) / known.length;
  const squares = known.reduce((sum, d) => sum + (d - mean) ** 2, 0);
  const spread = known.length < LEAST_DIAMETERS ? NaN : Math.sqrt(squares / (known.length - 1)) / mean;
  return { known: known.length, mean, spread };
}
