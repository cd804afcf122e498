/**
 * Numbers that change smoothly over a rectangle of cells (where a cell lies on another grid, how large it is): computed in
 * full at a few cells, between them by biquadratic interpolation, and in full again wherever that does not agree.
 */

/** Columns of numbers at n places (x, y). */
export type Field = (x: Float64Array, y: Float64Array) => readonly Float64Array[];

/** Places left + i * step, top + j * step for i < width, j < height. */
export interface Lattice {
  readonly left: number;
  readonly top: number;
  readonly step: number;
  readonly width: number;
  readonly height: number;
}

/** A piece of so few cells is computed in full: interpolating it costs as much. */
const FEW = 16;
/** Places of a piece, in shares of its width and height: nine knots, then four checks where a cubic error is largest. */
const KNOTS_X = [0, 0.5, 1, 0, 0.5, 1, 0, 0.5, 1];
const KNOTS_Y = [0, 0, 0, 0.5, 0.5, 0.5, 1, 1, 1];
const CHECKS_X = [0.21, 0.79, 0.21, 0.79];
const CHECKS_Y = [0.21, 0.21, 0.79, 0.79];

/**
 * The columns of `field` at all places of a lattice, row by row. Pieces are halved until the interpolated numbers agree with
 * the field's own at the checks; a jump or a number that is not finite ends in the field's own numbers cell by cell.
 * @param tolerances largest difference allowed, one a column.
 */
export function smoothField(
  field: Field,
  lattice: Lattice,
  tolerances: readonly number[],
): readonly Float64Array[] {
  const { left, top, step, width, height } = lattice;
  const out = tolerances.map(() => new Float64Array(width * height));
  const at = (c: ArrayLike<number>, r: ArrayLike<number>): readonly Float64Array[] =>
    field(
      Float64Array.from(c, (v) => left + v * step),
      Float64Array.from(r, (v) => top + v * step),
    );
  // Pieces: first column and row, one past the last.
  const pieces: Array<readonly [number, number, number, number]> = [];
  if (width > 0 && height > 0) pieces.push([0, 0, width, height]);
  for (let piece = pieces.pop(); piece; piece = pieces.pop()) {
    const [c0, r0, c1, r1] = piece;
    const wide = c1 - c0;
    const high = r1 - r0;
    if (wide * high <= FEW) {
      const cells = Array.from({ length: wide * high }, (_, i) => i);
      const exact = at(
        cells.map((i) => c0 + (i % wide)),
        cells.map((i) => r0 + Math.floor(i / wide)),
      );
      for (const i of cells)
        exact.forEach((column, k) => {
          out[k][(r0 + Math.floor(i / wide)) * width + c0 + (i % wide)] = column[i];
        });
      continue;
    }
    const known = at(
      [...KNOTS_X, ...CHECKS_X].map((u) => c0 + u * (wide - 1)),
      [...KNOTS_Y, ...CHECKS_Y].map((v) => r0 + v * (high - 1)),
    );
    const agrees = known.every((f, k) =>
      CHECKS_X.every((u, i) => Math.abs(alongRow(acrossRows(f, CHECKS_Y[i]), u) - f[9 + i]) <= tolerances[k]),
    );
    if (!agrees) {
      const c = wide > high ? c0 + (wide >> 1) : c1;
      const r = wide > high ? r1 : r0 + (high >> 1);
      pieces.push([c0, r0, c, r], wide > high ? [c, r0, c1, r1] : [c0, r, c1, r1]);
      continue;
    }
    known.forEach((f, k) => {
      for (let r = r0; r < r1; r++) {
        const [a, b, c] = acrossRows(f, high > 1 ? (r - r0) / (high - 1) : 0);
        const scale = wide > 1 ? 1 / (wide - 1) : 0;
        for (let i = 0, to = r * width + c0; i < wide; i++) {
          const u = i * scale;
          out[k][to++] = a + u * (b + u * c);
        }
      }
    });
  }
  return out;
}

type Quadratic = readonly [number, number, number];

/** The quadratic along the row at share v of the height, from the nine knots. */
function acrossRows(f: ArrayLike<number>, v: number): Quadratic {
  const top = (1 - v) * (1 - 2 * v);
  const middle = 4 * v * (1 - v);
  const bottom = v * (2 * v - 1);
  const g0 = top * f[0] + middle * f[3] + bottom * f[6];
  const g1 = top * f[1] + middle * f[4] + bottom * f[7];
  const g2 = top * f[2] + middle * f[5] + bottom * f[8];
  return [g0, 4 * g1 - 3 * g0 - g2, 2 * (g0 - 2 * g1 + g2)];
}

const alongRow = ([a, b, c]: Quadratic, u: number): number => a + u * (b + u * c);
