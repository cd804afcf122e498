import type { Candidates } from '../candidates.ts';
import { arrange } from './arrange.ts';
import { diameterSpread } from './diameterSpread.ts';
import { groupPlane } from './groupPlane.ts';
import { groups } from './groups.ts';
import { neighbours, neighboursFor } from './neighbours.ts';
import { pattern, SIMULATIONS } from './pattern.ts';
import type { PatternView } from './types.ts';

/** Bars of the rose: 15 degrees each. */
const ROSE = 12;
/** Nearest distances are drawn up to so many times the mean under chance (one in a thousand lies beyond), or to the longest. */
const REACH = 3;
const MOST_BARS = 14;

/**
 * The group that a candidate stands in, with all that a drawing of it needs, from all 999 simulations (none with too few trees); null where it stands in
 * none (its position is too uncertain, or it is a stand itself) or in one by itself. A repeat of a record is in the group of that record.
 * @param link as for structureOf.
 */
export function patternView(candidates: Candidates, row: number, link: number): PatternView | null {
  const own = candidates.duplicateOf[row] >= 0 ? candidates.duplicateOf[row] : row;
  const group = groups(candidates, link, own).find(({ rows }) => rows.includes(own));
  if (!group) return null;
  const { rows, stand } = group;
  const n = rows.length;
  if (n < 2) return null;
  const plane = groupPlane(candidates, group);
  const { order, x, y } = arrange(plane.x, plane.y);
  const near = neighboursFor(n);
  neighbours(x, y, near);
  const two = new Int32Array(2 * n).fill(-1);
  const distance = new Float64Array(n);
  const rose = new Array<number>(ROSE).fill(0);
  order.forEach((tree, k) => {
    distance[tree] = Math.sqrt(near.squared[k]);
    for (let s = 0; s < 2; s++) {
      const at = near.two[2 * k + s];
      if (at < 0) continue;
      const other = order[at];
      two[2 * tree + s] = other;
      const [dx, dy] = [plane.x[other] - plane.x[tree], plane.y[other] - plane.y[tree]];
      if (dx === 0 && dy === 0) continue;
      const share = Math.atan2(dy, dx) / Math.PI;
      rose[Math.floor((share < 0 ? share + 1 : share) * ROSE) % ROSE]++;
    }
  });

  // The bars have to be known before the simulations run; a quick look tells what chance leaves.
  const { plain } = pattern(plane.x, plane.y, plane.window, { quick: true, apart: plane.apart });
  const longest = distance.reduce((a, b) => Math.max(a, b), 0);
  const width = roundUp(Math.max(longest * 1.0001, REACH * plain.expected) / MOST_BARS);
  const count = Math.ceil(Math.max(longest * 1.0001, REACH * plain.expected) / width);
  const simulated = Array.from({ length: count }, () => new Float64Array(SIMULATIONS));
  let s = 0;
  const full = pattern(plane.x, plane.y, plane.window, {
    apart: plane.apart,
    watch: (squared) => {
      for (const d of squared) simulated[Math.min(count - 1, Math.floor(Math.sqrt(d) / width))][s]++;
      s++;
    },
  });
  const trees = new Array<number>(count).fill(0);
  for (const d of distance) trees[Math.floor(d / width)]++;
  for (const bar of simulated) bar.sort();
  const at = (share: number): number[] => simulated.map((bar) => bar[Math.round(share * (SIMULATIONS - 1))]);
  return {
    ...full,
    stand,
    link: stand === '' ? link : NaN,
    windowKnown: plane.window !== null,
    trees: rows,
    x: plane.x,
    y: plane.y,
    outline: full.window.polygons.map((rings) =>
      rings.map((ring) => ring.map(([u, v]) => plane.placeOf(u, v))),
    ),
    neighbours: two,
    rose,
    histogram: {
      width,
      trees,
      mean: simulated.map((bar) => bar.reduce((a, b) => a + b, 0) / SIMULATIONS),
      low: at(0.025),
      high: at(0.975),
    },
    diameters: diameterSpread(candidates.dbh, rows),
  };
}

/** The next of 1, 2, 2.5, 5 times a power of ten. */
function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  return power * ([1, 2, 2.5, 5].find((step) => step * power >= value) ?? 10);
}
