/** Metres east and north of one step along columns and along rows. */
export interface Step {
  readonly colEast: number;
  readonly colNorth: number;
  readonly rowEast: number;
  readonly rowNorth: number;
}

/** Columns and rows that a circle can reach, from its radius and the grid's steps. */
export function reachOf(step: Step, metres: number): { cols: number; rows: number } {
  const { colEast: a, colNorth: b, rowEast: c, rowNorth: d } = step;
  const det = Math.abs(a * d - b * c);
  return { cols: (metres * Math.hypot(c, d)) / det, rows: (metres * Math.hypot(a, b)) / det };
}

/** What has cells. */
interface Grid {
  readonly width: number;
  readonly height: number;
}

/**
 * Runs of cells whose centre lies within `metres` of a position, row by row: columns `from` to `to`, clipped to the grid. A row
 * may have none (from > to).
 */
export function rowsWithin(
  step: Step,
  col: number,
  row: number,
  metres: number,
  { width, height }: Grid,
  each: (row: number, from: number, to: number) => void,
): void {
  const { colEast, colNorth, rowEast, rowNorth } = step;
  // |dc * col step + dr * row step|² <= metres² is a quadratic in dc for each row.
  const qa = colEast * colEast + colNorth * colNorth;
  const qb = colEast * rowEast + colNorth * rowNorth;
  const qc = rowEast * rowEast + rowNorth * rowNorth;
  const reach = reachOf(step, metres).rows;
  const first = Math.max(0, Math.ceil(row - reach - 0.5));
  const last = Math.min(height - 1, Math.floor(row + reach - 0.5));
  for (let r = first; r <= last; r++) {
    const dr = r + 0.5 - row;
    const root = qb * qb * dr * dr - qa * (qc * dr * dr - metres * metres);
    if (root < 0) continue;
    const half = Math.sqrt(root) / qa;
    const middle = col - (qb * dr) / qa - 0.5;
    each(r, Math.max(0, Math.ceil(middle - half)), Math.min(width - 1, Math.floor(middle + half)));
  }
}

/** Cells about a cell, row by row: row `row + dr` holds columns `col + from` to `col + to`. */
export interface Circle {
  /** Rows above and below: entry `dr + rows` of `from` and `to` is of row dr. A row without a cell has from > to. */
  readonly rows: number;
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Furthest column. */
  readonly cols: number;
  /** Cells besides the one in the middle. */
  readonly cells: number;
}

/** A cell that lies on the circle is inside, whatever the rounding of its distance. */
const ON_IT = 1 + 1e-9;

/** The cells whose centre lies within `metres` of a cell's centre. Steps are those at that cell. */
export function circleOf(step: Step, metres: number): Circle {
  const { colEast, colNorth, rowEast, rowNorth } = step;
  const radius = metres * ON_IT;
  const rows = Math.floor(reachOf(step, radius).rows);
  const from = new Int32Array(2 * rows + 1);
  const to = new Int32Array(2 * rows + 1);
  // |dc * col step + dr * row step|² <= radius² is a quadratic in dc for each row.
  const qa = colEast * colEast + colNorth * colNorth;
  const qb = colEast * rowEast + colNorth * rowNorth;
  const qc = rowEast * rowEast + rowNorth * rowNorth;
  let cells = -1;
  let cols = 0;
  for (let dr = -rows; dr <= rows; dr++) {
    const half = Math.sqrt(Math.max(0, qb * qb * dr * dr - qa * (qc * dr * dr - radius * radius))) / qa;
    const middle = -(qb * dr) / qa;
    const i = dr + rows;
    from[i] = Math.ceil(middle - half);
    to[i] = Math.floor(middle + half);
    if (from[i] > to[i]) continue;
    cells += to[i] - from[i] + 1;
    cols = Math.max(cols, -from[i], to[i]);
  }
  return { rows, from, to, cols, cells };
}
