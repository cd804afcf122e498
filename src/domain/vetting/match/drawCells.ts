/**
 * Reference cells for the within-zone spread: a seeded random draw, without replacement, of grid cells whose centre lies
 * inside each zone (methods, environmental match). Zones come as polygons in fractional pixel coordinates of the grid
 * ((0, 0) = outer corner of the first cell); the caller projects them. The circle that stands in for missing zones is
 * drawn by the same function as one polygon.
 */
import type { MultiPolygon, Polygon } from '../../base/geo.ts';
import { drawInteger, rng } from '../../base/rng.ts';
import type { Random } from '../../base/rng.ts';

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

/** Runs of cells in one row: row, first column, one past the last column; three numbers a run. */
type Spans = number[];

/** Runs of cells whose centre is inside a polygon (even-odd over its rings, so holes are out), rows in order. */
function polygonSpans(polygon: Polygon, width: number, height: number): Spans {
  let top = Infinity;
  let bottom = -Infinity;
  for (const ring of polygon)
    for (const p of ring) {
      if (p[1] < top) top = p[1];
      if (p[1] > bottom) bottom = p[1];
    }
  // A row is crossed by an edge when its centre line lies in [lower, upper): a shared vertex counts once.
  const first = Math.max(0, Math.ceil(top - 0.5));
  const last = Math.min(height, Math.ceil(bottom - 0.5));
  const rows = last - first;
  if (!(rows > 0)) return [];

  // Two passes, count then fill, keep all crossings in one typed array.
  const start = new Int32Array(rows + 1);
  let crossings = new Float64Array(0);
  const fill = new Int32Array(rows);
  for (const pass of ['count', 'fill'] as const) {
    for (const ring of polygon) {
      for (let i = 0; i < ring.length; i++) {
        const p = ring[i];
        const q = ring[(i + 1) % ring.length]; // the closing edge has no length where the ring is closed
        if (!(p[1] !== q[1])) continue;
        const [x1, y1, x2, y2] = p[1] < q[1] ? [p[0], p[1], q[0], q[1]] : [q[0], q[1], p[0], p[1]];
        const from = Math.max(first, Math.ceil(y1 - 0.5));
        const to = Math.min(last, Math.ceil(y2 - 0.5));
        const slope = (x2 - x1) / (y2 - y1);
        for (let r = from; r < to; r++) {
          if (pass === 'count') start[r - first + 1]++;
          else crossings[start[r - first] + fill[r - first]++] = x1 + (r + 0.5 - y1) * slope;
        }
      }
    }
    if (pass === 'count') {
      for (let r = 0; r < rows; r++) start[r + 1] += start[r];
      crossings = new Float64Array(start[rows]);
    }
  }

  const spans: Spans = [];
  for (let r = 0; r < rows; r++) {
    const x = crossings.subarray(start[r], start[r + 1]).sort();
    for (let i = 0; i + 1 < x.length; i += 2) {
      const from = Math.max(0, Math.ceil(x[i] - 0.5));
      const to = Math.min(width, Math.ceil(x[i + 1] - 0.5));
      if (to > from) spans.push(first + r, from, to);
    }
  }
  return spans;
}

/** Runs of cells inside any of a zone's polygons, each cell once. */
function zoneSpans(zone: MultiPolygon, width: number, height: number): Spans {
  if (zone.length === 1) return polygonSpans(zone[0], width, height);
  const parts = zone.map((p) => polygonSpans(p, width, height));
  const index: Array<readonly [number, number, number]> = [];
  for (const s of parts) for (let i = 0; i < s.length; i += 3) index.push([s[i], s[i + 1], s[i + 2]]);
  index.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const merged: Spans = [];
  for (const [row, from, to] of index) {
    const end = merged.length - 1;
    if (end > 0 && merged[end - 2] === row && from <= merged[end]) merged[end] = Math.max(merged[end], to);
    else merged.push(row, from, to);
  }
  return merged;
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
  const spans = zones.map((z) => zoneSpans(z, width, height));
  const inside = Float64Array.from(spans, (s) => {
    let n = 0;
    for (let i = 0; i < s.length; i += 3) n += s[i + 2] - s[i + 1];
    return n;
  });
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
