/** What a band of a raster holds, told by figures: a histogram of numbers, or shares of classes. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { RasterFigures } from '../protocol.ts';

/** Cells along the longer side of the picture that is looked at: at most 65,536 of a raster of any size. */
const OVERVIEW_CELLS = 256;
const STRIP = 16;
const MANY_CELLS = 32e6;
/** Squares along each side, and cells along the side of one. */
const SQUARES = 8;
const SQUARE = 32;
const BARS = 24;
/** More different values than this are no classes. */
const MOST_CLASSES = 64;

/**
 * Figures of a band: 2nd and 98th percentile (between which a ramp is drawn), least and most, share of the cells that have no
 * value, and either bars of equal width or shares of classes (whole numbers 0 to 255). null where no cell has a value.
 *
 * Looked at is a picture of the whole raster, cells taken by nearest neighbour; of a raster of many cells, which may have no
 * smaller picture of itself (more than `many`), 64 squares spread evenly over it (a cluster sample), unless none of them holds a value.
 */
export async function figuresOf(
  raster: Raster,
  band: number,
  inClasses: boolean,
  work: Work = {},
  many = MANY_CELLS,
): Promise<Result<RasterFigures | null>> {
  const { width, height } = raster;
  const large = width * height > many;
  let looked = large ? await squares(raster, band, work) : await overview(raster, band, work);
  if (large && looked.ok && looked.value.every(Number.isNaN)) looked = await overview(raster, band, work);
  if (!looked.ok) return looked;
  const seen = looked.value;
  const values = seen.filter((x) => !Number.isNaN(x)).sort();
  const n = values.length;
  if (n === 0) return ok(null);
  const at = (p: number): number => values[Math.min(n - 1, Math.floor(p * n))];
  const least = values[0];
  const most = values[n - 1];
  return ok({
    low: at(0.02),
    high: at(0.98),
    least,
    most,
    cells: n,
    missing: 1 - n / seen.length,
    whole: seen.length === width * height,
    bars: inClasses ? null : barsOf(values, least, most),
    classes: inClasses ? classesOf(values) : null,
  });
}

/** Strip by strip, so that progress is seen and a stop is heard. */
async function overview(raster: Raster, band: number, work: Work): Promise<Result<Float32Array>> {
  const scale = OVERVIEW_CELLS / Math.max(raster.width, raster.height);
  const side = (cells: number): number => Math.max(1, Math.min(cells, Math.round(cells * scale)));
  const [width, height] = [side(raster.width), side(raster.height)];
  const seen = new Float32Array(width * height);
  const y = (row: number): number => (row / height) * raster.height;
  for (let from = 0; from < height; from += STRIP) {
    work.progress?.(from, height, 'rows of values looked at');
    await work.pause?.();
    const rows = Math.min(STRIP, height - from);
    const strip = await raster.picture(band, [0, y(from), raster.width, y(from + rows)], width, rows);
    if (!strip.ok) return strip;
    seen.set(strip.value, from * width);
  }
  return ok(seen);
}

async function squares(raster: Raster, band: number, work: Work): Promise<Result<Float32Array>> {
  const seen = new Float32Array((SQUARES * SQUARE) ** 2);
  const start = (i: number, cells: number): number =>
    Math.max(0, Math.min(cells - SQUARE, Math.round(((i + 0.5) / SQUARES) * cells - SQUARE / 2)));
  for (let i = 0; i < SQUARES * SQUARES; i++) {
    work.progress?.(i, SQUARES * SQUARES, 'squares of values looked at');
    await work.pause?.();
    const x = start(i % SQUARES, raster.width);
    const y = start(Math.floor(i / SQUARES), raster.height);
    const square = await raster.picture(band, [x, y, x + SQUARE, y + SQUARE], SQUARE, SQUARE);
    if (!square.ok) return square;
    seen.set(square.value, i * SQUARE * SQUARE);
  }
  return ok(seen);
}

function barsOf(sorted: Float32Array, least: number, most: number): number[] {
  const bars = new Array<number>(most > least ? BARS : 1).fill(0);
  for (const x of sorted) {
    const i = most > least ? Math.floor(((x - least) / (most - least)) * BARS) : 0;
    bars[Math.min(bars.length - 1, i)]++;
  }
  return bars;
}

/** Largest share first. */
function classesOf(values: Float32Array): Array<{ value: number; share: number }> | null {
  const counts = new Map<number, number>();
  for (const x of values) counts.set(x, (counts.get(x) ?? 0) + 1);
  if (counts.size > MOST_CLASSES) return null;
  return [...counts]
    .map(([value, count]) => ({ value, share: count / values.length }))
    .sort((a, b) => b.share - a.share);
}
