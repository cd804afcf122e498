/** Tight loops over the cells of decoded blocks. Nothing here is asynchronous: the caller has loaded what is touched. */
import { bilinear4 } from '../../domain/layers/sampling.ts';
import type { Cells, Level } from './blocks.ts';
import type { BandMeta } from './raster.ts';

export interface Loaded {
  readonly level: Level;
  /** By block number; absent blocks are not touched. */
  readonly blocks: ReadonlyArray<Cells | undefined>;
  readonly meta: BandMeta;
}

/** Stored value of a cell, NaN outside the image and for nodata; scale and offset are not applied. */
export function rawCell({ level, blocks, meta }: Loaded, col: number, row: number): number {
  if (col < 0 || row < 0 || col >= level.width || row >= level.height) return NaN;
  const bx = Math.floor(col / level.blockWidth);
  const by = Math.floor(row / level.blockHeight);
  const cells = blocks[by * level.across + bx];
  if (!cells) throw new Error('a cell of a block that was not loaded');
  const left = bx * level.blockWidth;
  const stride = Math.min(level.blockWidth, level.width - left);
  const value = cells[(row - by * level.blockHeight) * stride + (col - left)];
  return value === meta.nodata ? NaN : value;
}

export function nearestValue(loaded: Loaded, col: number, row: number): number {
  const { scale, offset } = loaded.meta;
  return rawCell(loaded, Math.floor(col), Math.floor(row)) * scale + offset;
}

export function bilinearValue(loaded: Loaded, col: number, row: number): number {
  const { level, meta } = loaded;
  // Written so that NaN positions are outside too.
  if (!(col >= 0 && row >= 0 && col < level.width && row < level.height)) return NaN;
  const c = Math.floor(col - 0.5);
  const r = Math.floor(row - 0.5);
  const value = bilinear4(
    col - 0.5 - c,
    row - 0.5 - r,
    rawCell(loaded, c, r),
    rawCell(loaded, c + 1, r),
    rawCell(loaded, c, r + 1),
    rawCell(loaded, c + 1, r + 1),
  );
  return value * meta.scale + meta.offset;
}

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

/** Adds to `counts` at `at` the cells by class whose centre lies within `metres` of the position. */
export function countCircle(
  loaded: Loaded,
  col: number,
  row: number,
  metres: number,
  step: Step,
  classOf: Uint8Array,
  counts: Uint32Array,
  at: number,
): void {
  const { level, blocks, meta } = loaded;
  const { colEast, colNorth, rowEast, rowNorth } = step;
  // |dc * col step + dr * row step|² <= metres² is a quadratic in dc for each row.
  const qa = colEast * colEast + colNorth * colNorth;
  const qb = colEast * rowEast + colNorth * rowNorth;
  const qc = rowEast * rowEast + rowNorth * rowNorth;
  const reach = reachOf(step, metres).rows;
  const first = Math.max(0, Math.ceil(row - reach - 0.5));
  const last = Math.min(level.height - 1, Math.floor(row + reach - 0.5));
  for (let r = first; r <= last; r++) {
    const dr = r + 0.5 - row;
    const root = qb * qb * dr * dr - qa * (qc * dr * dr - metres * metres);
    if (root < 0) continue;
    const half = Math.sqrt(root) / qa;
    const middle = col - (qb * dr) / qa - 0.5;
    const from = Math.max(0, Math.ceil(middle - half));
    const to = Math.min(level.width - 1, Math.floor(middle + half));
    const by = Math.floor(r / level.blockHeight);
    for (let c = from; c <= to;) {
      const bx = Math.floor(c / level.blockWidth);
      const left = bx * level.blockWidth;
      const stride = Math.min(level.blockWidth, level.width - left);
      const end = Math.min(to, left + stride - 1);
      const cells = blocks[by * level.across + bx];
      if (!cells) throw new Error('a cell of a block that was not loaded');
      const base = (r - by * level.blockHeight) * stride - left;
      for (; c <= end; c++) {
        const code = cells[base + c];
        const k = code === meta.nodata || code < 0 || code > 255 ? 255 : classOf[code];
        if (k !== 255) counts[at + k]++;
      }
    }
  }
}
