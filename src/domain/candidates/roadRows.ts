import { localFrame } from '../base/localFrame.ts';
import { footOf, type NearestColumns, type ShapeIndex } from '../layers/nearest.ts';
import type { Candidates } from './candidates.ts';
import { speciesKeys } from './duplicates.ts';

/** A row has at least this many trees. */
const LEAST = 4;
/** Trees of a row stand within this much of one another in distance from the road (an offset of ± 3 m), metres. */
const BAND = 6;
/** Longest gap in a row, metres along the road. */
const GAP = 40;
/** Trees further from the road do not belong to a row along it. */
const FURTHEST = 60;
/** Strip on both sides of a row in which a stand would have trees too, metres. */
const BESIDE = 12;
/** A position worse than this cannot show a row, metres. */
const LEAST_ACCURATE = 10;

export interface RoadRows {
  /** Trees in the row that each candidate belongs to, 0 in none; NaN where that is not known. */
  readonly trees: Float64Array;
  /** Index of that row in `rows`, -1 none. */
  readonly row: Int32Array;
  /** Candidates in order along the road; repeated records are left out. */
  readonly rows: ReadonlyArray<readonly number[]>;
}

/**
 * Trees of the same species lined up along the nearest road (ours; no published rule was found): at least four on one side
 * of one road line, within 60 m of it, at a constant distance from it (all within 6 m), with gaps of at most 40 m along the
 * road. A strip of a stand looks like a row as well; so a row must hold more trees than stand within 12 m on its two sides
 * (and up to 20 m past its ends).
 *
 * @param roads index of the road lines, and `near` the nearest of them for each candidate (any class of road).
 * @returns not known where the road is not, or the position is worse than 10 m. A repeated record counts with the record
 * that it repeats. A tree of two rows belongs to the longer one.
 */
export function roadRows(candidates: Candidates, roads: ShapeIndex, near: NearestColumns): RoadRows {
  const { n, lon, lat, accuracy, duplicateOf } = candidates;
  const kinds = speciesKeys(candidates);
  const trees = new Float64Array(n).fill(NaN);
  const row = new Int32Array(n).fill(-1);
  const rows: number[][] = [];
  const along = new Float64Array(n);
  const offset = new Float64Array(n);
  const starts = startsOf(roads);
  const groups = new Map<string, number[]>();
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(near.metres[i]) || accuracy[i] > LEAST_ACCURATE) continue;
    trees[i] = 0;
    const s = near.segment[i];
    if (near.metres[i] > FURTHEST || s < 0 || duplicateOf[i] >= 0) continue;
    const { ends } = roads;
    const { lonMetres, latMetres } = localFrame(lat[i]);
    const ux = (ends[4 * s + 2] - ends[4 * s]) * lonMetres;
    const uy = (ends[4 * s + 3] - ends[4 * s + 1]) * latMetres;
    const cross = ux * (lat[i] - ends[4 * s + 1]) * latMetres - uy * (lon[i] - ends[4 * s]) * lonMetres;
    along[i] = starts[s] + footOf(ends, s, lon[i], lat[i], lonMetres, latMetres) * Math.hypot(ux, uy);
    offset[i] = near.metres[i];
    const key = `${roads.line[s]}|${cross >= 0 ? 'left' : 'right'}|${kinds[i]}`;
    const group = groups.get(key);
    if (group) group.push(i);
    else groups.set(key, [i]);
  }
  for (const group of groups.values()) {
    if (group.length < LEAST) continue;
    for (const run of runsOf(group, along, offset)) {
      for (const i of run) {
        if (run.length <= trees[i]) continue;
        trees[i] = run.length;
        row[i] = rows.length;
      }
      rows.push(run);
    }
  }
  for (let i = 0; i < n; i++) {
    if (duplicateOf[i] < 0 || Number.isNaN(trees[i])) continue;
    trees[i] = trees[duplicateOf[i]];
    row[i] = row[duplicateOf[i]];
  }
  return { trees, row, rows };
}

/** The runs of a group of trees on one side of one road that are rows. */
function runsOf(group: readonly number[], along: Float64Array, offset: Float64Array): number[][] {
  const rows: number[][] = [];
  const byOffset = [...group].sort((a, b) => offset[a] - offset[b]);
  let end = 0;
  for (let start = 0; start < byOffset.length; start++) {
    const before = end;
    while (end < byOffset.length && offset[byOffset[end]] <= offset[byOffset[start]] + BAND) end++;
    // A band that reaches no further than the last one holds nothing new.
    if (end === before) continue;
    const band = byOffset.slice(start, end).sort((a, b) => along[a] - along[b]);
    let first = 0;
    for (let k = 1; k <= band.length; k++) {
      if (k < band.length && along[band[k]] - along[band[k - 1]] <= GAP) continue;
      const run = band.slice(first, k);
      first = k;
      if (run.length < LEAST || run.length <= besideOf(run, group, along, offset)) continue;
      rows.push(run);
    }
  }
  return rows;
}

/** Trees of the group that stand beside the run or past its ends, not in its band. */
function besideOf(
  run: readonly number[],
  group: readonly number[],
  along: Float64Array,
  offset: Float64Array,
): number {
  const from = along[run[0]] - GAP / 2;
  const to = along[run[run.length - 1]] + GAP / 2;
  const low = Math.min(...run.map((i) => offset[i]));
  const high = Math.max(...run.map((i) => offset[i]));
  return group.filter(
    (i) =>
      along[i] >= from &&
      along[i] <= to &&
      ((offset[i] < low && offset[i] >= low - BESIDE) || (offset[i] > high && offset[i] <= high + BESIDE)),
  ).length;
}

/** Metres from the start of its line to each segment; segments of a line stand in order. */
function startsOf(roads: ShapeIndex): Float64Array {
  const { ends, line } = roads;
  const starts = new Float64Array(line.length);
  for (let s = 1; s < line.length; s++) {
    if (line[s] !== line[s - 1]) continue;
    const p = 4 * (s - 1);
    const { lonMetres, latMetres } = localFrame((ends[p + 1] + ends[p + 3]) / 2);
    starts[s] =
      starts[s - 1] +
      Math.hypot((ends[p + 2] - ends[p]) * lonMetres, (ends[p + 3] - ends[p + 1]) * latMetres);
  }
  return starts;
}
