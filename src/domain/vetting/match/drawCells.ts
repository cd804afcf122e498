/**
 * Reference cells for the within-zone spread: a seeded random draw, without replacement, of grid cells whose centre lies
 * inside each zone (methods, environmental match). Zones come as polygons in fractional pixel coordinates of the grid
 * ((0, 0) = outer corner of the first cell); the caller projects them. The circle that stands in for missing zones is
 * drawn by the same function as one polygon.
 */
import type { MultiPolygon } from '../../base/geo.ts';
import { drawInteger, rng, type Random } from '../../base/rng.ts';
import { cellsIn, spans as spansOf } from '../../layers/spans.ts';

export const MOST_CELLS = 20_000;
export const MOST_CELLS_A_ZONE = 2_000;

export interface DrawnCells {
  /** Cell centres in fractional pixel coordinates. */
  readonly col: Float64Array;
  readonly row: Float64Array;
  /** Zone of each cell, index into the zones given. */
  readonly zone: Int32Array;
  /** Cells whose centre is inside each zone, drawn or not. */
  readonly inside: Float64Array;
  /** Most cells taken from one zone. */
  readonly quota: number;
}

/** `take` different whole numbers of 0 .. n - 1, in rising order (R. Floyd's method: Bentley & Floyd 1987, CACM 30:754-757). */
function sample(n: number, take: number, random: Random): Float64Array {
  if (take >= n) return Float64Array.from({ length: n }, (_, i) => i);
  const chosen = new Set<number>();
  for (let j = n - take; j < n; j++) {
    const t = drawInteger(random, j + 1);
    chosen.add(chosen.has(t) ? j : t);
  }
  return Float64Array.from(chosen).sort();
}

/**
 * Draws up to min(2000, 20000 / zones) cells a zone, where only zones that hold a cell of the grid are counted.
 * @param zones polygons in fractional pixel coordinates. @param width,height of the grid, cells.
 * @param seed fixed by the caller, so that the same layers give the same spread.
 */
export function drawCells(
  zones: readonly MultiPolygon[],
  width: number,
  height: number,
  seed: number,
): DrawnCells {
  const random = rng(seed);
  const spans = zones.map((z) => spansOf(z, width, height));
  const inside = Float64Array.from(spans, cellsIn);
  const held = inside.reduce((n, cells) => n + (cells > 0 ? 1 : 0), 0);
  const quota = Math.min(MOST_CELLS_A_ZONE, Math.max(1, Math.floor(MOST_CELLS / Math.max(1, held))));

  const total = inside.reduce((n, cells) => n + Math.min(cells, quota), 0);
  const col = new Float64Array(total);
  const row = new Float64Array(total);
  const zone = new Int32Array(total);
  let at = 0;
  spans.forEach((s, z) => {
    let span = 0;
    let passed = 0; // cells in the runs before this one
    for (const cell of sample(inside[z], quota, random)) {
      while (cell >= passed + s[span + 2] - s[span + 1]) {
        passed += s[span + 2] - s[span + 1];
        span += 3;
      }
      col[at] = s[span + 1] + (cell - passed) + 0.5;
      row[at] = s[span] + 0.5;
      zone[at++] = z;
    }
  });
  return { col, row, zone, inside, quota };
}
