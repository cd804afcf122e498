/** Tight loops over the cells of decoded blocks. Nothing here is asynchronous: the caller has loaded what is touched. */
import { rowsWithin, type Step } from '../../../domain/layers/cellStep.ts';
import { bilinear4 } from '../../../domain/layers/sampling.ts';
import type { Cells } from './blocks.ts';
import type { Level } from './levels.ts';
import type { BandMeta } from './raster.ts';

export interface Loaded {
  readonly level: Level;
  /** By block number; absent blocks are not touched. */
  readonly blocks: ReadonlyArray<Cells | undefined>;
  /** Same blocks of the image's mask; null where it has none. */
  readonly masks: ReadonlyArray<Cells | undefined> | null;
  readonly meta: BandMeta;
}

/** Stored value of a cell, NaN outside the image and where missing; scale and offset are not applied. */
export function rawCell(loaded: Loaded, col: number, row: number): number {
  const { level, blocks, masks, meta } = loaded;
  if (!(col >= 0 && row >= 0 && col < level.width && row < level.height)) return NaN;
  const bx = Math.floor(col / level.blockWidth);
  const by = Math.floor(row / level.blockHeight);
  const block = by * level.across + bx;
  const cells = blocks[block];
  if (!cells) throw new Error('a cell of a block that was not loaded');
  const left = bx * level.blockWidth;
  const stride = Math.min(level.blockWidth, level.width - left);
  const at = (row - by * level.blockHeight) * stride + (col - left);
  if (masks && masks[block]?.[at] === 0) return NaN;
  const value = cells[at];
  return value === meta.nodata ? NaN : value;
}

/** Values of the cells that hold the positions `rows`, into `out`. */
export function nearestInto(
  loaded: Loaded,
  rows: Int32Array,
  col: Float64Array,
  row: Float64Array,
  out: Float64Array,
): void {
  const { scale, offset } = loaded.meta;
  for (const i of rows) out[i] = rawCell(loaded, Math.floor(col[i]), Math.floor(row[i])) * scale + offset;
}

/** Bilinear values at the positions `rows`, into `out`. */
export function bilinearInto(
  loaded: Loaded,
  rows: Int32Array,
  col: Float64Array,
  row: Float64Array,
  out: Float64Array,
): void {
  const { level, blocks, masks, meta } = loaded;
  const { scale, offset } = meta;
  const { width, blockWidth, blockHeight, across } = level;
  // A number that no cell equals stands for "no nodata", so that the loop compares numbers only.
  const nodata = meta.nodata ?? NaN;
  for (const i of rows) {
    const x = col[i] - 0.5;
    const y = row[i] - 0.5;
    const c = Math.floor(x);
    const r = Math.floor(y);
    const bx = Math.floor(c / blockWidth);
    const by = Math.floor(r / blockHeight);
    const left = bx * blockWidth;
    const stride = Math.min(blockWidth, width - left);
    const inX = c - left;
    const inY = r - by * blockHeight;
    const cells = blocks[by * across + bx];
    let v00: number, v10: number, v01: number, v11: number;
    // All four in one block: the usual case, since a block is hundreds of cells wide.
    if (c >= 0 && r >= 0 && cells && !masks && inX + 1 < stride && (inY + 2) * stride <= cells.length) {
      const at = inY * stride + inX;
      v00 = cells[at];
      v10 = cells[at + 1];
      v01 = cells[at + stride];
      v11 = cells[at + stride + 1];
      if (v00 === nodata) v00 = NaN;
      if (v10 === nodata) v10 = NaN;
      if (v01 === nodata) v01 = NaN;
      if (v11 === nodata) v11 = NaN;
    } else {
      v00 = rawCell(loaded, c, r);
      v10 = rawCell(loaded, c + 1, r);
      v01 = rawCell(loaded, c, r + 1);
      v11 = rawCell(loaded, c + 1, r + 1);
    }
    out[i] = bilinear4(x - c, y - r, v00, v10, v01, v11) * scale + offset;
  }
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
  const { level, blocks, masks, meta } = loaded;
  rowsWithin(step, col, row, metres, level, (r, from, to) => {
    const by = Math.floor(r / level.blockHeight);
    for (let c = from; c <= to;) {
      const bx = Math.floor(c / level.blockWidth);
      const left = bx * level.blockWidth;
      const stride = Math.min(level.blockWidth, level.width - left);
      const end = Math.min(to, left + stride - 1);
      const block = by * level.across + bx;
      const cells = blocks[block];
      if (!cells) throw new Error('a cell of a block that was not loaded');
      const mask = masks?.[block];
      const base = (r - by * level.blockHeight) * stride - left;
      for (; c <= end; c++) {
        const code = cells[base + c];
        if (code === meta.nodata || code < 0 || code > 255 || mask?.[base + c] === 0) continue;
        // Codes that are not whole numbers have no class (undefined < 255 is false).
        const k = classOf[code];
        if (k < 255) counts[at + k]++;
      }
    }
  });
}

/** Cells whose centre lies within `metres` of a position, row by row, with their stored values as rawCell gives them. */
export function cellsWithin(
  loaded: Loaded,
  col: number,
  row: number,
  metres: number,
  step: Step,
): ReadonlyArray<readonly [col: number, row: number, value: number]> {
  const cells: Array<readonly [number, number, number]> = [];
  rowsWithin(step, col, row, metres, loaded.level, (r, from, to) => {
    for (let c = from; c <= to; c++) cells.push([c, r, rawCell(loaded, c, r)]);
  });
  return cells;
}
