/**
 * Corners of the convex hull of points sorted by x, then y, counter-clockwise (Andrew's monotone chain, Andrew 1979,
 * Information Processing Letters 9:216-219). Points on a side are no corners.
 * @param corners filled with indices; room for 2 n.
 * @returns how many; 2 for points on one line, 1 for a single place.
 */
export function convexHull(x: Float64Array, y: Float64Array, corners: Int32Array): number {
  const n = x.length;
  let k = 0;
  const add = (i: number, least: number): void => {
    while (k > least) {
      const [a, b] = [corners[k - 2], corners[k - 1]];
      if ((x[b] - x[a]) * (y[i] - y[a]) - (y[b] - y[a]) * (x[i] - x[a]) > 0) break;
      k--;
    }
    corners[k++] = i;
  };
  for (let i = 0; i < n; i++) add(i, 1);
  // The upper side starts from the last point; the first closes the ring and is taken off.
  const lower = k;
  for (let i = n - 2; i >= 0; i--) add(i, lower);
  return Math.max(1, k - 1);
}
