/**
 * Least-squares polynomials of t through several columns, by orthogonal polynomials on the points themselves (Forsythe 1957,
 * J. SIAM 5:74-88). Fewer distinct t than coefficients give the lower degree that they allow.
 * @param t within -1 .. 1. @returns a function of t for each column.
 */
export function polynomials(
  t: Float64Array,
  columns: readonly Float64Array[],
  degree: number,
): Array<(t: number) => number> {
  const n = t.length;
  const basis: { values: Float64Array; coefficients: Float64Array }[] = [];
  for (let d = 0; d <= degree; d++) {
    const values = t.map((u) => u ** d);
    const coefficients = new Float64Array(degree + 1);
    coefficients[d] = 1;
    // Twice, for what rounding leaves after the first.
    for (const b of [...basis, ...basis]) {
      const part = dot(values, b.values);
      for (let i = 0; i < n; i++) values[i] -= part * b.values[i];
      for (let j = 0; j <= degree; j++) coefficients[j] -= part * b.coefficients[j];
    }
    const length = Math.sqrt(dot(values, values));
    if (!(length > 1e-9)) break;
    basis.push({ values: values.map((v) => v / length), coefficients: coefficients.map((c) => c / length) });
  }
  return columns.map((column) => {
    const sum = new Float64Array(degree + 1);
    for (const b of basis) {
      const part = dot(column, b.values);
      for (let j = 0; j <= degree; j++) sum[j] += part * b.coefficients[j];
    }
    return (u) => sum.reduceRight((s, c) => s * u + c, 0);
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
