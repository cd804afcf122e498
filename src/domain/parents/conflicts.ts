/** Which candidates stand too close to one another to be members together. */
import { geodesicMetres } from '../base/geodesy.ts';
import { localFrame } from '../base/localFrame.ts';

export interface Spots {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
}

/** Conflicts as lists: neighbours of row i are list[start[i]] .. list[start[i + 1] - 1], rising. */
export interface ConflictGraph {
  readonly n: number;
  readonly start: Int32Array;
  readonly list: Int32Array;
}

/** Share of the spacing within which the plane decides nothing and the geodesic is taken (the plane errs by under 1e-5 here). */
const MARGIN = 1e-3;

/** Metres by which trees set out at exactly the spacing may seem closer, from rounding alone. */
const ROUNDING = 1e-6;

/**
 * A test whether two rows are closer than `spacing` metres on the WGS 84 ellipsoid; exactly the spacing is far enough.
 * The plane through both settles most pairs, the geodesic (Karney 2013) those near the limit.
 */
export function tooClose({ lon, lat }: Spots, spacing: number): (i: number, j: number) => boolean {
  const lonMetres = Float64Array.from(lat, (y) => localFrame(y).lonMetres);
  const latMetres = Float64Array.from(lat, (y) => localFrame(y).latMetres);
  const sure = (spacing * (1 - MARGIN)) ** 2;
  const never = (spacing * (1 + MARGIN)) ** 2;
  return (i, j) => {
    const x = ((lon[i] - lon[j]) * (lonMetres[i] + lonMetres[j])) / 2;
    const y = ((lat[i] - lat[j]) * (latMetres[i] + latMetres[j])) / 2;
    const d2 = x * x + y * y;
    if (d2 > never) return false;
    if (d2 < sure) return true;
    // Always in one direction, so that the answer does not depend on which row is named first.
    const [a, b] = i < j ? [i, j] : [j, i];
    return geodesicMetres(lon[a], lat[a], lon[b], lat[b]) < spacing - ROUNDING;
  };
}

/** Conflicts among `rows` (numbered 0 .. rows.length - 1 in the graph), found through a grid of cells of the spacing. */
export function conflictGraph(
  spots: Spots,
  rows: readonly number[],
  spacing: number,
  close: (i: number, j: number) => boolean,
): ConflictGraph {
  const n = rows.length;
  let north = 0;
  for (const r of rows) north = Math.max(north, Math.abs(spots.lat[r]));
  // A degree of longitude is shortest farthest from the equator: cells are never narrower than the spacing.
  const frame = localFrame(Math.min(89, north));
  const size = spacing * (1 + 2 * MARGIN) || 1;
  const cellOf = (r: number): [number, number] => [
    Math.floor((spots.lon[r] * frame.lonMetres) / size),
    Math.floor((spots.lat[r] * localFrame(0).latMetres) / size),
  ];
  const cells = new Map<string, number[]>();
  const at = rows.map(cellOf);
  at.forEach(([x, y], i) => {
    const key = `${x} ${y}`;
    const cell = cells.get(key);
    if (cell) cell.push(i);
    else cells.set(key, [i]);
  });
  const start = new Int32Array(n + 1);
  const list: number[] = [];
  for (let i = 0; i < n; i++) {
    const [x, y] = at[i];
    const from = list.length;
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        for (const j of cells.get(`${x + dx} ${y + dy}`) ?? [])
          if (j !== i && close(rows[i], rows[j])) list.push(j);
      }
    }
    const own = list.splice(from).sort((a, b) => a - b);
    for (const j of own) list.push(j);
    start[i + 1] = list.length;
  }
  return { n, start, list: Int32Array.from(list) };
}

/** Groups of vertices joined by conflicts, each rising, in the order of their first vertex. */
export function components(
  { n, start, list }: ConflictGraph,
  keep: (v: number) => boolean = () => true,
): number[][] {
  const seen = new Uint8Array(n);
  const groups: number[][] = [];
  for (let v = 0; v < n; v++) {
    if (seen[v] || !keep(v)) continue;
    const group = [v];
    seen[v] = 1;
    for (let head = 0; head < group.length; head++) {
      const u = group[head];
      for (let e = start[u]; e < start[u + 1]; e++) {
        const w = list[e];
        if (seen[w] || !keep(w)) continue;
        seen[w] = 1;
        group.push(w);
      }
    }
    groups.push(group.sort((a, b) => a - b));
  }
  return groups;
}

/** The graph on some of the vertices, renumbered in the order given. */
export function inducedGraph({ n, start, list }: ConflictGraph, vertices: readonly number[]): ConflictGraph {
  const at = new Int32Array(n).fill(-1);
  vertices.forEach((v, i) => {
    at[v] = i;
  });
  const starts = new Int32Array(vertices.length + 1);
  const out: number[] = [];
  vertices.forEach((v, i) => {
    const own: number[] = [];
    for (let e = start[v]; e < start[v + 1]; e++) if (at[list[e]] >= 0) own.push(at[list[e]]);
    for (const u of own.sort((a, b) => a - b)) out.push(u);
    starts[i + 1] = out.length;
  });
  return { n: vertices.length, start: starts, list: Int32Array.from(out) };
}
