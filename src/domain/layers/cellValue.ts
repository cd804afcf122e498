/** The value of a grid of cells at a position between them, for pictures (measures are taken by Raster.sample). */

/**
 * nearest: the cell that holds the position. bilinear: straight between the four nearest cells. spline: the uniform cubic
 * B-spline of the sixteen nearest cells; it smooths a little and has no creases, so that shaded slopes show no facets.
 */
export type Kernel = 'nearest' | 'bilinear' | 'spline';

/**
 * @param cells row-major height x width, NaN missing. @param x, y position in cells; the first cell covers 0 to 1.
 * @returns NaN outside, where the position is not a number, and where its own cell is missing. A missing neighbour
 * leaves the sharper kernel to answer: bilinear for spline, the own cell for bilinear.
 */
export function cellValue(
  cells: Float32Array,
  width: number,
  height: number,
  x: number,
  y: number,
  kernel: Kernel,
): number {
  if (!(x >= 0 && y >= 0 && x < width && y < height)) return NaN;
  const own = cells[Math.floor(y) * width + Math.floor(x)];
  if (kernel === 'nearest' || Number.isNaN(own)) return own;
  const c = Math.floor(x - 0.5);
  const r = Math.floor(y - 0.5);
  const u = x - 0.5 - c;
  const v = y - 0.5 - r;
  if (kernel === 'spline' && c >= 1 && r >= 1 && c + 2 < width && r + 2 < height) {
    const smooth = splined(cells, (r - 1) * width + c - 1, width, u, v);
    if (!Number.isNaN(smooth)) return smooth;
  }
  if (c < 0 || r < 0 || c + 1 >= width || r + 1 >= height) return own;
  const k = r * width + c;
  const mixed =
    (1 - v) * ((1 - u) * cells[k] + u * cells[k + 1]) +
    v * ((1 - u) * cells[k + width] + u * cells[k + width + 1]);
  return Number.isNaN(mixed) ? own : mixed;
}

/** Uniform cubic B-spline (de Boor 1978, A Practical Guide to Splines) over 4 x 4 cells from index `from`. */
function splined(cells: Float32Array, from: number, width: number, u: number, v: number): number {
  const u0 = (1 - u) ** 3 / 6;
  const u1 = (3 * u * u * u - 6 * u * u + 4) / 6;
  const u3 = (u * u * u) / 6;
  const u2 = 1 - u0 - u1 - u3;
  const across = (k: number): number =>
    u0 * cells[k] + u1 * cells[k + 1] + u2 * cells[k + 2] + u3 * cells[k + 3];
  const v0 = (1 - v) ** 3 / 6;
  const v1 = (3 * v * v * v - 6 * v * v + 4) / 6;
  const v3 = (v * v * v) / 6;
  const v2 = 1 - v0 - v1 - v3;
  return (
    v0 * across(from) +
    v1 * across(from + width) +
    v2 * across(from + 2 * width) +
    v3 * across(from + 3 * width)
  );
}
