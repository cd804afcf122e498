/**
 * A raster whose columns run along parallels has a full turn of so many cells: it may count longitudes from 0 to 360, or lie
 * across the 180th meridian, and a place has a column one turn further too. 0 for a raster that has no turn.
 */

/** The column of the same place that is in the raster, where there is one; in place. */
export function intoTurn(col: Float64Array, turn: number, width: number): void {
  if (turn === 0) return;
  for (let i = 0; i < col.length; i++) {
    if (col[i] < 0 && col[i] + turn < width) col[i] += turn;
    else if (col[i] >= width && col[i] - turn >= 0) col[i] -= turn;
  }
}

/** The column of the same place that is nearest to `near`, in or out of the raster: without a jump about there; in place. */
export function aboutColumn(col: Float64Array, turn: number, near: number): void {
  if (turn === 0) return;
  for (let i = 0; i < col.length; i++) col[i] += turn * Math.round((near - col[i]) / turn);
}
