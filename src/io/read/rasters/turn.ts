/**
 * The same place one turn further, in place: a raster whose columns run along parallels may count longitudes from 0 to 360,
 * or lie across the 180th meridian. @param turn cells of a full turn; 0 for a raster that has none.
 */
export function intoTurn(col: Float64Array, turn: number, width: number): void {
  if (turn === 0) return;
  for (let i = 0; i < col.length; i++) {
    if (col[i] < 0 && col[i] + turn < width) col[i] += turn;
    else if (col[i] >= width && col[i] - turn >= 0) col[i] -= turn;
  }
}
