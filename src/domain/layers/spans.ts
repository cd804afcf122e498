/**
 * Which cells of a grid lie in an area: those whose centre is inside. Areas come in fractional pixel coordinates of the grid
 * ((0, 0) = outer corner of the first cell); the caller projects them.
 */
import type { MultiPolygon, Polygon } from '../base/geo.ts';

/** Runs of cells in one row: row, first column, one past the last column; three numbers a run. */
export type Spans = number[];

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

  const runs: Spans = [];
  for (let r = 0; r < rows; r++) {
    const x = crossings.subarray(start[r], start[r + 1]).sort();
    for (let i = 0; i + 1 < x.length; i += 2) {
      const from = Math.max(0, Math.ceil(x[i] - 0.5));
      const to = Math.min(width, Math.ceil(x[i + 1] - 0.5));
      if (to > from) runs.push(first + r, from, to);
    }
  }
  return runs;
}

/** Runs of cells whose centre is inside any of the polygons, rows in order, each cell once. Cells outside the grid are left out. */
export function spans(shape: MultiPolygon, width: number, height: number): Spans {
  if (shape.length === 1) return polygonSpans(shape[0], width, height);
  const parts = shape.map((p) => polygonSpans(p, width, height));
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

/** How many cells the runs hold. */
export function cellsIn(runs: Readonly<Spans>): number {
  let n = 0;
  for (let i = 0; i < runs.length; i += 3) n += runs[i + 2] - runs[i + 1];
  return n;
}
