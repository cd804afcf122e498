import type { Neighbours } from './neighbours.ts';

/** Orders of the row test, by index: rows, square grids, triangular grids. */
export const ORDERS = [2, 4, 6] as const;

/**
 * |mean exp(i k t)| for k = 2, 4, 6 over the directions t of the vectors from each point to its two nearest neighbours (ours):
 * 1 where all lie in one line, in the lines of a square or of a triangular lattice; near 0 where they have no preference.
 * Points at one place have no direction between them.
 * @param out the three strengths, overwritten.
 */
export function rowStrengths(x: Float64Array, y: Float64Array, { two }: Neighbours, out: Float64Array): void {
  let [a2, b2, a4, b4, a6, b6, vectors] = [0, 0, 0, 0, 0, 0, 0];
  for (let k = 0; k < two.length; k++) {
    const j = two[k];
    if (j < 0) continue;
    const i = k >> 1;
    const dx = x[j] - x[i];
    const dy = y[j] - y[i];
    const r2 = dx * dx + dy * dy;
    if (r2 === 0) continue;
    // exp(2it) is the square of the unit vector; the others are its powers.
    const c2 = (dx * dx - dy * dy) / r2;
    const s2 = (2 * dx * dy) / r2;
    const c4 = c2 * c2 - s2 * s2;
    const s4 = 2 * c2 * s2;
    a2 += c2;
    b2 += s2;
    a4 += c4;
    b4 += s4;
    a6 += c4 * c2 - s4 * s2;
    b6 += c4 * s2 + s4 * c2;
    vectors++;
  }
  const n = Math.max(1, vectors);
  out[0] = Math.sqrt(a2 * a2 + b2 * b2) / n;
  out[1] = Math.sqrt(a4 * a4 + b4 * b4) / n;
  out[2] = Math.sqrt(a6 * a6 + b6 * b6) / n;
}
