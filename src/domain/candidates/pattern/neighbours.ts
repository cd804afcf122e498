/** The two nearest neighbours of each of several points. */
export interface Neighbours {
  /** Squared distance to the nearest; Infinity for a single point. */
  readonly squared: Float64Array;
  /** Indices of the nearest and the second nearest, 2 a point; -1 where there is none. */
  readonly two: Int32Array;
}

export const neighboursFor = (n: number): Neighbours => ({
  squared: new Float64Array(n),
  two: new Int32Array(2 * n),
});

/**
 * Looks from each point to both sides along x until nothing nearer can follow: about sqrt(n) comparisons a point.
 * @param x, y sorted by x. @param out overwritten.
 */
export function neighbours(x: Float64Array, y: Float64Array, out: Neighbours): void {
  const n = x.length;
  const { squared, two } = out;
  for (let i = 0; i < n; i++) {
    const xi = x[i];
    const yi = y[i];
    let d1 = Infinity;
    let d2 = Infinity;
    let first = -1;
    let second = -1;
    for (let side = -1; side <= 1; side += 2) {
      for (let j = i + side; j >= 0 && j < n; j += side) {
        const dx = x[j] - xi;
        const across = dx * dx;
        if (across >= d2) break;
        const dy = y[j] - yi;
        const d = across + dy * dy;
        if (d < d1) {
          d2 = d1;
          second = first;
          d1 = d;
          first = j;
        } else if (d < d2) {
          d2 = d;
          second = j;
        }
      }
    }
    squared[i] = d1;
    two[2 * i] = first;
    two[2 * i + 1] = second;
  }
}
