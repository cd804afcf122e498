/** 95th percentile of chi-square with two degrees of freedom, -2 ln 0.05. */
const NINETY_FIVE = -2 * Math.log(0.05);

/**
 * The ordinary differences of two variables at once: places that differ from the site by less lie inside, in 95 of 100
 * pairs of one zone. The contour dᵀ (2S)⁻¹ d = 5.99 with S the covariance of these two variables alone.
 * @param covariance S of all k variables, k x k row-major. @param a,b indices of the two variables.
 * @param centre the site's values of them. All after transforms.
 * @returns `points` places on the contour as [a, b], not closed; null where the two variables are one and the same.
 */
export function ellipse(
  covariance: Float64Array,
  a: number,
  b: number,
  centre: readonly [number, number],
  points = 72,
): ReadonlyArray<readonly [number, number]> | null {
  const k = Math.sqrt(covariance.length);
  const saa = 2 * covariance[a * k + a];
  const sab = 2 * covariance[a * k + b];
  const sbb = 2 * covariance[b * k + b];
  // Cholesky's factor turns the circle of radius sqrt(5.99) into the contour.
  const la = Math.sqrt(saa);
  const lab = sab / la;
  const rest = sbb - lab * lab;
  if (!(rest > 1e-12 * sbb)) return null;
  const lb = Math.sqrt(rest);
  const r = Math.sqrt(NINETY_FIVE);
  return Array.from({ length: points }, (_, i) => {
    const t = (2 * Math.PI * i) / points;
    const [x, y] = [r * Math.cos(t), r * Math.sin(t)];
    return [centre[0] + la * x, centre[1] + lab * x + lb * y] as const;
  });
}
