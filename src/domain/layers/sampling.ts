/**
 * The rules for a raster's value at a position, free of any file format.
 *
 * Positions are fractional pixel column and row: (0, 0) is the outer corner of the first cell and (0.5, 0.5) its centre.
 * The raster covers 0 <= col < width, 0 <= row < height; every position in it lies in exactly one cell. Any other
 * position, NaN included, has no value: nothing is clamped to the edge.
 *
 * A reader takes a bilinear value so:
 *
 *     if (!insideRaster(col, row, width, height)) value = NaN
 *     else {
 *       const c0 = Math.floor(col - 0.5), r0 = Math.floor(row - 0.5)
 *       value = bilinear4(col - 0.5 - c0, row - 0.5 - r0, at(c0, r0), at(c0 + 1, r0), at(c0, r0 + 1), at(c0 + 1, r0 + 1))
 *     }
 *
 * where `at` gives NaN for nodata and for cells that do not exist (c0 = -1, c0 + 1 = width, likewise for rows). In the
 * outer half cell the centres beyond the edge do not exist and count as missing, so the rule of half the weight decides:
 * on a straight edge there is a value up to the edge, in a corner of the raster there is one only where the corner
 * cell's own weight reaches a half. Scale and offset are linear and may be applied before or after.
 */
export function insideRaster(col: number, row: number, width: number, height: number): boolean {
  return col >= 0 && col < width && row >= 0 && row < height;
}

/** Column (or row) of the cell that holds a position: the nearest cell centre. Only for positions inside the raster. */
export function nearestCell(position: number): number {
  return Math.floor(position);
}

/**
 * Bilinear value among the four nearest cell centres. Missing cells (NaN) give up their weight to the others in
 * proportion, provided that the others hold at least half of it; else the value is missing.
 * @param fc,fr share of the way from the first to the second centre, 0 <= f < 1, along columns and rows.
 * @param v00,v10,v01,v11 cells (c0, r0), (c0 + 1, r0), (c0, r0 + 1), (c0 + 1, r0 + 1).
 */
export function bilinear4(
  fc: number,
  fr: number,
  v00: number,
  v10: number,
  v01: number,
  v11: number,
): number {
  const w00 = (1 - fc) * (1 - fr);
  const w10 = fc * (1 - fr);
  const w01 = (1 - fc) * fr;
  const w11 = fc * fr;
  const plain = w00 * v00 + w10 * v10 + w01 * v01 + w11 * v11;
  if (plain === plain) return plain; // no cell is missing
  let weight = 0;
  let sum = 0;
  if (v00 === v00) {
    weight += w00;
    sum += w00 * v00;
  }
  if (v10 === v10) {
    weight += w10;
    sum += w10 * v10;
  }
  if (v01 === v01) {
    weight += w01;
    sum += w01 * v01;
  }
  if (v11 === v11) {
    weight += w11;
    sum += w11 * v11;
  }
  return weight >= 0.5 ? sum / weight : NaN;
}
