import type { Level } from './levels.ts';

/** Positions whose blocks are held together, and those blocks. */
export interface Run {
  readonly rows: Int32Array;
  readonly blocks: readonly number[];
}

/**
 * Splits positions into runs of at most `most` blocks. One run, in the order given, where all blocks together are within
 * that; else in the order of the block rows, so that each block is decoded in one run only (or two, at the seams).
 * Positions outside the image (NaN too) are in no run.
 * @param reach cells around position i that are read.
 */
export function* runsOf(
  level: Level,
  col: Float64Array,
  row: Float64Array,
  reach: (i: number) => number,
  most: number,
): Generator<Run> {
  const { width, height, blockWidth, blockHeight, across, down } = level;
  /** The run that asked for the block last. */
  const asked = new Int32Array(across * down);
  let run = 1;
  let blocks: number[] = [];
  // The block asked for last, alone: neighbours in the list mostly lie in it too.
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  const ask = (i: number): void => {
    const r = reach(i);
    const c = col[i];
    const w = row[i];
    if (c - r >= left && c + r < right && w - r >= top && w + r < bottom) return;
    const x0 = Math.floor(Math.max(0, c - r) / blockWidth);
    const x1 = Math.floor(Math.min(width - 1, c + r) / blockWidth);
    const y0 = Math.floor(Math.max(0, w - r) / blockHeight);
    const y1 = Math.floor(Math.min(height - 1, w + r) / blockHeight);
    for (let y = y0; y <= y1; y++)
      for (let x = x0; x <= x1; x++) {
        const block = y * across + x;
        if (asked[block] === run) continue;
        asked[block] = run;
        blocks.push(block);
      }
    if (x0 === x1 && y0 === y1) {
      [left, right] = [x0 * blockWidth, (x0 + 1) * blockWidth];
      [top, bottom] = [y0 * blockHeight, (y0 + 1) * blockHeight];
    }
  };
  const begin = (): void => {
    run++;
    blocks = [];
    [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  };
  const inside = new Int32Array(col.length);
  let n = 0;
  for (let i = 0; i < col.length; i++)
    if (col[i] >= 0 && row[i] >= 0 && col[i] < width && row[i] < height) inside[n++] = i;
  const rows = inside.subarray(0, n);
  if (n === 0) return;
  for (const i of rows) ask(i);
  if (blocks.length <= most) {
    // In the file's order: neighbours are fetched together.
    yield { rows, blocks: blocks.sort((a, b) => a - b) };
    return;
  }

  const band = (i: number): number => Math.floor(row[i] / blockHeight);
  rows.sort((a, b) => band(a) - band(b) || col[a] - col[b]);
  begin();
  let start = 0;
  for (let k = 0; k < n; k++) {
    const before = blocks.length;
    ask(rows[k]);
    if (blocks.length <= most || k === start) continue;
    // This position overflows the run: it begins the next one.
    yield { rows: rows.subarray(start, k), blocks: blocks.slice(0, before) };
    begin();
    start = k;
    ask(rows[k]);
  }
  yield { rows: rows.subarray(start), blocks };
}
