/**
 * Slope and aspect of a 3 x 3 window of elevations by Horn 1981 (Proceedings of the IEEE 69:14-47): weighted differences
 * of the eight neighbours, the middle row and column counting twice. Northness, eastness and relative position as
 * derivations.ts has them. Loops over whole blocks of cells: terrainCells.ts.
 */
import type { Step } from './cellStep.ts';

const DEGREES = 180 / Math.PI;

/** Steepest slope, degrees 0-90, of ground that gains `east` and `north` metres a metre. */
export const slopeOf = (east: number, north: number): number =>
  Math.atan(Math.sqrt(east * east + north * north)) * DEGREES;

/** Direction in which that ground faces (downhill), degrees clockwise from north, [0, 360); NaN where flat. */
export function aspectOf(east: number, north: number): number {
  if (east === 0 && north === 0) return NaN;
  const a = Math.atan2(-east, -north) * DEGREES;
  return a < 0 ? a + 360 : a + 0;
}

/**
 * cos(aspect) sin(slope) and sin(aspect) sin(slope): the north and the east component of the upward unit normal; 0 on flat
 * ground (the sum with 0 makes 0 of -0).
 */
export const northnessOf = (east: number, north: number): number =>
  -north / Math.sqrt(1 + east * east + north * north) + 0;
export const eastnessOf = (east: number, north: number): number => northnessOf(north, east);

/** How gains per column and per row become gains per metre eastward and northward. */
export interface Tilt {
  readonly eastByCol: number;
  readonly eastByRow: number;
  readonly northByCol: number;
  readonly northByRow: number;
}

/** The steps turned round: gain by column = step along columns times slope of the ground, and so for rows. */
export function tiltOf({ colEast, colNorth, rowEast, rowNorth }: Step): Tilt {
  const det = colEast * rowNorth - colNorth * rowEast;
  return {
    eastByCol: rowNorth / det,
    eastByRow: -colNorth / det,
    northByCol: -rowEast / det,
    northByRow: colEast / det,
  };
}

/**
 * Metres gained per metre eastward and northward in a window of nine cells that begins at `at`, row-major; NaN where one
 * of them, the middle one too, is missing.
 */
export function gradient(w: Float64Array, at: number, tilt: Tilt): readonly [east: number, north: number] {
  const byCol = (w[at + 2] + 2 * w[at + 5] + w[at + 8] - (w[at] + 2 * w[at + 3] + w[at + 6])) / 8;
  const byRow = (w[at + 6] + 2 * w[at + 7] + w[at + 8] - (w[at] + 2 * w[at + 1] + w[at + 2])) / 8;
  // The middle cell counts nothing, but has to be there.
  const there = 0 * w[at + 4];
  return [
    byCol * tilt.eastByCol + byRow * tilt.eastByRow + there,
    byCol * tilt.northByCol + byRow * tilt.northByRow + there,
  ];
}

/** Metres by which the middle of a window lies over the mean of the eight around it; NaN where a cell is missing. */
export const overNeighbours = (w: Float64Array, at: number): number =>
  w[at + 4] - (w[at] + w[at + 1] + w[at + 2] + w[at + 3] + w[at + 5] + w[at + 6] + w[at + 7] + w[at + 8]) / 8;

/** First row of the window the northern one, first column the western one; cells of dx by dy metres. */
const upright = (dx: number, dy: number): Tilt =>
  tiltOf({ colEast: dx, colNorth: 0, rowEast: 0, rowNorth: -dy });

/** Steepest slope of such a window, degrees 0-90; NaN where a cell is missing. */
export const slopeDegrees = (windows: Float64Array, at: number, dx: number, dy: number): number =>
  slopeOf(...gradient(windows, at, upright(dx, dy)));

/** Direction in which such a window faces, degrees clockwise from north, [0, 360); NaN where flat or missing. */
export const aspectDegrees = (windows: Float64Array, at: number, dx: number, dy: number): number =>
  aspectOf(...gradient(windows, at, upright(dx, dy)));
