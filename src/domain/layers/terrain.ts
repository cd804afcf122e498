/**
 * Slope and aspect of a 3 x 3 window of elevations by Horn 1981 (Proceedings of the IEEE 69:14-47): weighted differences
 * of the eight neighbours, the middle row and column counting twice.
 *
 * `windows` holds windows of nine cells one after another, row-major, first row the northern one, first column the
 * western one; `at` is the index of a window's first cell. dx, dy: cell sides in metres, west-east and north-south, of
 * the ground at that place. A window with a missing cell (NaN) has neither slope nor aspect. "North" is the raster's up.
 */
const DEGREES = 180 / Math.PI;

/** Metres gained per metre eastward. */
function eastward(w: Float64Array, at: number, dx: number): number {
  return (w[at + 2] + 2 * w[at + 5] + w[at + 8] - (w[at] + 2 * w[at + 3] + w[at + 6])) / (8 * dx);
}

/** Metres gained per metre southward. */
function southward(w: Float64Array, at: number, dy: number): number {
  return (w[at + 6] + 2 * w[at + 7] + w[at + 8] - (w[at] + 2 * w[at + 1] + w[at + 2])) / (8 * dy);
}

/** Steepest slope, degrees 0-90; NaN where a cell of the window, the middle one too, is missing. */
export function slopeDegrees(windows: Float64Array, at: number, dx: number, dy: number): number {
  if (Number.isNaN(windows[at + 4])) return NaN;
  return Math.atan(Math.hypot(eastward(windows, at, dx), southward(windows, at, dy))) * DEGREES;
}

/** Direction in which the slope faces (downhill), degrees clockwise from north, [0, 360); NaN where flat or missing. */
export function aspectDegrees(windows: Float64Array, at: number, dx: number, dy: number): number {
  const east = -eastward(windows, at, dx);
  const north = southward(windows, at, dy);
  if (Number.isNaN(windows[at + 4]) || (east === 0 && north === 0)) return NaN;
  const a = Math.atan2(east, north) * DEGREES;
  return a < 0 ? a + 360 : a + 0;
}
