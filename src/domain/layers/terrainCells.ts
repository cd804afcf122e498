/** Terrain of whole blocks of cells, in loops: the same numbers as terrain.ts gives for one window. */
import type { Circle } from './cellStep.ts';
import type { Derivation } from './definition.ts';
import { eastnessOf, northnessOf, slopeOf, type Tilt } from './terrain.ts';

/** Elevations (metres, NaN missing) of a block and of a margin all round it, row-major. */
export interface Ground {
  readonly z: Float64Array;
  /** Cells in a row, margins included. */
  readonly stride: number;
}

/**
 * Slope, northness or eastness of `n` cells of a row, into `out` from `outAt` on. NaN where one of the nine cells is missing.
 * @param at index of the first of them in the ground, which has a cell of margin around them.
 */
export function hornInto(
  derivation: Exclude<Derivation, 'relative position'>,
  { z, stride }: Ground,
  at: number,
  n: number,
  tilt: Tilt,
  out: Float32Array,
  outAt: number,
): void {
  const of = derivation === 'slope' ? slopeOf : derivation === 'northness' ? northnessOf : eastnessOf;
  const eastByCol = tilt.eastByCol / 8;
  const eastByRow = tilt.eastByRow / 8;
  const northByCol = tilt.northByCol / 8;
  const northByRow = tilt.northByRow / 8;
  // Columns of the window move on by one: three cells are read for each new one.
  let [nw, w, sw] = [z[at - stride - 1], z[at - 1], z[at + stride - 1]];
  let [up, middle, down] = [z[at - stride], z[at], z[at + stride]];
  for (let i = 0; i < n; i++) {
    const e = at + i + 1;
    const ne = z[e - stride];
    const east = z[e];
    const se = z[e + stride];
    const byCol = ne + 2 * east + se - (nw + 2 * w + sw) + 0 * middle;
    const byRow = sw + 2 * down + se - (nw + 2 * up + ne);
    out[outAt + i] = of(byCol * eastByCol + byRow * eastByRow, byCol * northByCol + byRow * northByRow);
    nw = up;
    w = middle;
    sw = down;
    up = ne;
    middle = east;
    down = se;
  }
}

/** Metres over the mean of the eight neighbours, likewise. */
export function overNeighboursInto(
  { z, stride }: Ground,
  at: number,
  n: number,
  out: Float32Array,
  outAt: number,
): void {
  for (let i = 0; i < n; i++) {
    const c = at + i;
    const [a, b] = [c - stride, c + stride];
    const sum = z[a - 1] + z[a] + z[a + 1] + z[c - 1] + z[c + 1] + z[b - 1] + z[b] + z[b + 1];
    out[outAt + i] = z[c] - sum / 8;
  }
}

/** Running sums along each row of a ground: `sums[r * (stride + 1) + c]` is of the first c cells of row r. */
export interface RunningSums {
  readonly sums: Float64Array;
  /** Missing cells, counted likewise; null where there is none. */
  readonly gaps: Int32Array | null;
}

export function runningSums({ z, stride }: Ground): RunningSums {
  const rows = z.length / stride;
  const sums = new Float64Array(rows * (stride + 1));
  const gaps = z.some(Number.isNaN) ? new Int32Array(sums.length) : null;
  for (let r = 0; r < rows; r++) {
    const to = r * (stride + 1) + 1;
    let sum = 0;
    let gap = 0;
    for (let c = 0; c < stride; c++) {
      const v = z[r * stride + c];
      if (v === v) sum += v;
      else gap++;
      sums[to + c] = sum;
      if (gaps) gaps[to + c] = gap;
    }
  }
  return { sums, gaps };
}

/**
 * Metres over the mean of the cells of a circle, the middle one left out, of `n` cells of row `row` (margins counted) from
 * column `col` on. NaN where one of its cells is missing, or where it holds none but the middle one.
 */
export function overCircleInto(
  { z, stride }: Ground,
  { sums, gaps }: RunningSums,
  circle: Circle,
  row: number,
  col: number,
  n: number,
  out: Float32Array,
  outAt: number,
): void {
  const total = new Float64Array(n);
  const missing = gaps ? new Int32Array(n) : null;
  for (let dr = -circle.rows; dr <= circle.rows; dr++) {
    const from = circle.from[dr + circle.rows];
    const to = circle.to[dr + circle.rows];
    if (from > to) continue;
    const base = (row + dr) * (stride + 1) + col;
    const [low, high] = [base + from, base + to + 1];
    for (let i = 0; i < n; i++) total[i] += sums[high + i] - sums[low + i];
    if (gaps && missing) for (let i = 0; i < n; i++) missing[i] += gaps[high + i] - gaps[low + i];
  }
  const at = row * stride + col;
  for (let i = 0; i < n; i++) {
    const own = z[at + i];
    const whole = circle.cells > 0 && (missing === null || missing[i] === 0);
    out[outAt + i] = whole ? own - (total[i] - own) / circle.cells : NaN;
  }
}
