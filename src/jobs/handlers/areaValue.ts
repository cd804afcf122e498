/** What a raster has inside an area: the mean of the cells whose centre lies in it (methods, environmental match). */
import type { MultiPolygon, Ring } from '../../domain/base/geo.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { cellsIn, spans, type Spans } from '../../domain/layers/spans.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';

export interface AreaValue {
  /** NaN where less than half of the cells have a value, as a point has none where its neighbours hold less than half. */
  readonly mean: number;
  /** Over the cells that have a value; NaN without any. */
  readonly low: number;
  readonly high: number;
  /** Cells whose centre lies inside, off the raster too, and those of them that have a value. */
  readonly cells: number;
  readonly known: number;
  /** Every so many-th row and column was taken: 1, unless the area is huge. */
  readonly step: number;
}

/** Cells that are read of one area at most. */
export const MOST_CELLS = 4_000_000;
/** Cells read at once: enough to be quick, few enough to hear a cancel. */
const CHUNK = 262_144;
/** Edges are followed in steps of so many degrees: a straight one is a curve in a projected raster (0.5 m off at most). */
const EDGE_DEGREES = 0.05;
/** No two neighbouring points of such an edge lie so far apart, unless the raster's columns are torn between them. */
const TORN_METRES = 5_000_000;

/**
 * Failure 'variables': an outline that crosses the 180th meridian (RFC 7946 has it cut in two there), or the edge where the
 * raster's longitudes begin and end. Failures of reading are passed on.
 * @param where what the area is called. @param most cells to read, a regular sample of more.
 */
export async function areaValue(
  raster: Raster,
  band: number,
  area: MultiPolygon,
  where: string,
  work: Work = {},
  most = MOST_CELLS,
): Promise<Result<AreaValue>> {
  const rings = area.flat();
  if (rings.some((ring) => ring.some((p, i) => Math.abs(p[0] - ring[(i + 1) % ring.length][0]) > 180)))
    return torn(where, 'the 180th meridian');
  const shape = area.map((polygon) => polygon.map((ring) => pixelsOf(ring, raster)));
  const points = shape.flat(2);
  if (!points.every(([c, r]) => Number.isFinite(c) && Number.isFinite(r)))
    return ok({ mean: NaN, low: NaN, high: NaN, cells: 0, known: 0, step: 1 });
  const far = TORN_METRES / raster.cellMetres;
  if (
    shape
      .flat()
      .some((ring) =>
        ring.some((p, i) => i > 0 && Math.hypot(p[0] - ring[i - 1][0], p[1] - ring[i - 1][1]) > far),
      )
  )
    return torn(where, 'the seam of a raster that goes round the earth');

  // On a grid of every step-th cell, shifted to begin at the area: cells off the raster are met too, and have no value.
  const step = Math.max(1, Math.ceil(Math.sqrt(cellArea(shape) / most)));
  const left = Math.floor(least(points, 0) / step);
  const top = Math.floor(least(points, 1) / step);
  const coarse = shape.map((polygon) =>
    polygon.map((ring) => ring.map(([c, r]) => [c / step - left, r / step - top] as const)),
  );
  const runs = spans(coarse, Infinity, Infinity);
  return meanOf(
    runs,
    (x, along) => (x + (along === 'col' ? left : top) + 0.5) * step,
    step,
    raster,
    band,
    work,
  );
}

const torn = (where: string, line: string): Result<never> =>
  fail('variables', where, `has an outline that crosses ${line}`, 'Cut it into two polygons there.');

async function meanOf(
  runs: Readonly<Spans>,
  at: (x: number, along: 'col' | 'row') => number,
  step: number,
  raster: Raster,
  band: number,
  work: Work,
): Promise<Result<AreaValue>> {
  const cells = cellsIn(runs);
  let known = 0;
  let sum = 0;
  let low = Infinity;
  let high = -Infinity;
  let run = 0;
  let next = runs[1];
  for (let done = 0; done < cells; done += CHUNK) {
    const n = Math.min(CHUNK, cells - done);
    const col = new Float64Array(n);
    const row = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      if (next === runs[run + 2]) {
        run += 3;
        next = runs[run + 1];
      }
      col[i] = at(next++, 'col');
      row[i] = at(runs[run], 'row');
    }
    const read = await raster.sample(band, col, row, 'nearest', work);
    if (!read.ok) return read;
    for (const x of read.value) {
      if (Number.isNaN(x)) continue;
      known++;
      sum += x;
      if (x < low) low = x;
      if (x > high) high = x;
    }
    if (done > 0) await work.pause?.();
  }
  return ok({
    mean: known > 0 && 2 * known >= cells ? sum / known : NaN,
    low: known > 0 ? low : NaN,
    high: known > 0 ? high : NaN,
    cells,
    known,
    step,
  });
}

function pixelsOf(ring: Ring, raster: Raster): Ring {
  const lon: number[] = [];
  const lat: number[] = [];
  ring.forEach(([x, y], i) => {
    const [x2, y2] = ring[(i + 1) % ring.length];
    const steps = Math.max(1, Math.ceil(Math.max(Math.abs(x2 - x), Math.abs(y2 - y)) / EDGE_DEGREES));
    for (let k = 0; k < steps; k++) {
      lon.push(x + ((x2 - x) * k) / steps);
      lat.push(y + ((y2 - y) * k) / steps);
    }
  });
  const { col, row } = raster.toPixel(Float64Array.from(lon), Float64Array.from(lat));
  return lon.map((_, i) => [col[i], row[i]] as const);
}

/** Area in cells, holes taken off: only to choose the step by. */
const cellArea = (shape: MultiPolygon): number =>
  shape.reduce(
    (sum, [outer, ...holes]) => sum + ringArea(outer) - holes.reduce((out, hole) => out + ringArea(hole), 0),
    0,
  );

function ringArea(ring: Ring): number {
  let twice = 0;
  ring.forEach(([x, y], i) => {
    const [x2, y2] = ring[(i + 1) % ring.length];
    twice += x * y2 - x2 * y;
  });
  return Math.abs(twice) / 2;
}

const least = (points: ReadonlyArray<readonly [number, number]>, axis: 0 | 1): number =>
  points.reduce((m, p) => Math.min(m, p[axis]), Infinity);
