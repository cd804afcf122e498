/** What a band of a raster holds, told by figures: a histogram of numbers, or shares of classes. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Raster } from '../../io/read/raster.ts';
import type { RasterFigures } from '../protocol.ts';

/** Cells along the longer side of the picture that is looked at: at most 65,536 of a raster of any size. */
const OVERVIEW_CELLS = 256;
const STRIP = 16;
const BARS = 24;
/** More different values than this are no classes. */
const MOST_CLASSES = 64;

/**
 * Figures over a picture of the whole raster, cells taken by nearest neighbour: 2nd and 98th percentile (between which a
 * ramp is drawn), least and most, shares of the cells that have no value, and either bars of equal width or shares of
 * classes (whole numbers 0 to 255). null where no cell has a value.
 */
export async function figuresOf(
  raster: Raster,
  band: number,
  inClasses: boolean,
  work: Work = {},
): Promise<Result<RasterFigures | null>> {
  const scale = OVERVIEW_CELLS / Math.max(raster.width, raster.height);
  const side = (cells: number): number => Math.max(1, Math.min(cells, Math.round(cells * scale)));
  const width = side(raster.width);
  const height = side(raster.height);
  const seen = new Float32Array(width * height);
  // Strip by strip: a raster of gigabytes without overviews is read nearly whole here, and that is seen and can be stopped.
  for (let from = 0; from < height; from += STRIP) {
    work.progress?.(from, height, 'rows of values looked at');
    await work.pause?.();
    const rows = Math.min(STRIP, height - from);
    const y = (row: number): number => (row / height) * raster.height;
    const strip = await raster.picture(band, [0, y(from), raster.width, y(from + rows)], width, rows);
    if (!strip.ok) return strip;
    seen.set(strip.value, from * width);
  }
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
    whole: n === raster.width * raster.height || (width === raster.width && height === raster.height),
    bars: inClasses ? null : barsOf(values, least, most),
    classes: inClasses ? classesOf(values) : null,
  });
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
