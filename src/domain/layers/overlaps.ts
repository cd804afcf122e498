import { localFrame } from '../base/localFrame.ts';
import type { MultiPolygon } from '../base/geo.ts';

/** Rows are this far apart, metres, in a layer that is not too tall for it. */
const ROW_METRES = 50;
const MOST_ROWS = 10_000;
/** Crossings of edges and rows that are kept in memory; a drawing that goes up and down more has its rows further apart. */
const MOST_CROSSINGS = 4e6;
/** An overlap narrower than this, metres, is a sliver between neighbours drawn roughly. */
const SLIVER_METRES = 60;

export interface Overlap {
  /** Indices of the areas, a <= b; the same where polygons of one area lie over one another. */
  readonly a: number;
  readonly b: number;
  readonly squareMetres: number;
  /** A place in it. */
  readonly lon: number;
  readonly lat: number;
}

interface Pair {
  squareMetres: number;
  wide: boolean;
  lon: number;
  lat: number;
  row: number;
  /** West and east ends of the overlap on the row before and on this one, flat. */
  before: number[];
  here: number[];
}

/**
 * Areas that lie over one another by more than a sliver. Measured on parallels 50 m apart (further, where the layer is taller
 * than 500 km): an overlap counts when it is over 60 m wide, in one piece, on two rows that follow each other. Its area is the
 * sum of the widths times the distance of the rows: near enough for a warning (error about the perimeter times half a row).
 */
export function overlaps(areas: readonly MultiPolygon[]): Overlap[] {
  const polygons = areas.flatMap((shape, owner) => shape.map((rings) => ({ rings, owner })));
  let [south, north] = [Infinity, -Infinity];
  let climb = 0;
  for (const { rings } of polygons)
    for (const ring of rings) {
      let before = ring[ring.length - 1]?.[1] ?? NaN;
      for (const [, y] of ring) {
        if (y < south) south = y;
        if (y > north) north = y;
        climb += Math.abs(y - before);
        before = y;
      }
    }
  if (!(north > south)) return [];
  const step = Math.max(ROW_METRES / 111_000, (north - south) / MOST_ROWS, climb / MOST_CROSSINGS);
  const rows = Math.ceil((north - south) / step);
  const { start, x, polygon } = crossings(
    polygons.map((p) => p.rings),
    south,
    step,
    rows,
  );
  const pairs = new Map<number, Pair>();
  for (let row = 0; row < rows; row++) {
    const lat = south + (row + 0.5) * step;
    const { lonMetres, latMetres } = localFrame(lat);
    const order = Uint32Array.from({ length: start[row + 1] - start[row] }, (_, i) => start[row] + i);
    order.sort((p, q) => x[p] - x[q]);
    const open: number[] = [];
    const since: number[] = [];
    for (const at of order) {
      const p = polygon[at];
      const held = open.indexOf(p);
      if (held < 0) {
        open.push(p);
        since.push(x[at]);
        continue;
      }
      const from = since[held];
      open.splice(held, 1);
      since.splice(held, 1);
      // The one that closes first tells of what it shares with each that is still open.
      for (let k = 0; k < open.length; k++) {
        const west = Math.max(from, since[k]);
        const width = (x[at] - west) * lonMetres;
        if (!(width > 0)) continue;
        const [one, two] = [polygons[p].owner, polygons[open[k]].owner];
        const key = Math.min(one, two) * areas.length + Math.max(one, two);
        const pair = pairs.get(key) ?? {
          squareMetres: 0,
          wide: false,
          lon: 0,
          lat: 0,
          row,
          before: [],
          here: [],
        };
        pairs.set(key, pair);
        if (pair.row !== row) {
          pair.before = pair.row === row - 1 ? pair.here : [];
          pair.here = [];
          pair.row = row;
        }
        pair.here.push(west, x[at]);
        pair.squareMetres += width * step * latMetres;
        if (pair.wide) continue;
        for (let i = 0; i < pair.before.length; i += 2) {
          const [left, right] = [Math.max(west, pair.before[i]), Math.min(x[at], pair.before[i + 1])];
          if ((right - left) * lonMetres <= SLIVER_METRES) continue;
          pair.wide = true;
          pair.lon = (left + right) / 2;
          pair.lat = lat;
        }
      }
    }
  }
  return [...pairs]
    .filter(([, p]) => p.wide)
    .map(([key, { squareMetres, lon, lat }]) => ({
      a: Math.floor(key / areas.length),
      b: key % areas.length,
      squareMetres,
      lon,
      lat,
    }))
    .sort((p, q) => q.squareMetres - p.squareMetres);
}

/** Where the edges of each polygon cross each row: from `start[row]`, in no order. */
function crossings(
  polygons: readonly MultiPolygon[number][],
  south: number,
  step: number,
  rows: number,
): { start: Uint32Array; x: Float64Array; polygon: Uint32Array } {
  const start = new Uint32Array(rows + 1);
  // The first row at or above a latitude: rows stand in the middle of their strip.
  const rowAt = (y: number): number => Math.max(0, Math.min(rows, Math.ceil((y - south) / step - 0.5)));
  const each = (visit: (row: number, x: number, polygon: number) => void): void => {
    for (let p = 0; p < polygons.length; p++) {
      for (const ring of polygons[p]) {
        for (let i = 0; i < ring.length; i++) {
          const a = ring[i];
          const b = ring[i + 1 < ring.length ? i + 1 : 0];
          const up = a[1] < b[1];
          const low = up ? a : b;
          const high = up ? b : a;
          const last = rowAt(high[1]);
          for (let row = rowAt(low[1]); row < last; row++) {
            const y = south + (row + 0.5) * step;
            visit(row, low[0] + ((y - low[1]) / (high[1] - low[1])) * (high[0] - low[0]), p);
          }
        }
      }
    }
  };
  each((row) => {
    start[row + 1]++;
  });
  for (let row = 0; row < rows; row++) start[row + 1] += start[row];
  const next = start.slice(0, rows);
  const x = new Float64Array(start[rows]);
  const polygon = new Uint32Array(start[rows]);
  each((row, at, p) => {
    const k = next[row]++;
    x[k] = at;
    polygon[k] = p;
  });
  return { start, x, polygon };
}
