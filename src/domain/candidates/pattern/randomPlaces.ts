import type { Random } from '../../base/rng.ts';
import type { PlaneWindow } from './types.ts';

/** Fills x and y with places of complete randomness in the window, sorted by x. */
export type RandomPlaces = (random: Random, x: Float64Array, y: Float64Array) => void;

/**
 * Places drawn with equal chance anywhere in a window, without one being thrown away: the window is cut at the x of each of its
 * corners, so that its cross-section grows linearly between two cuts (even-odd rule over all rings, holes stay empty). The
 * places come sorted, from spacings of exponential length (Devroye 1986, Non-Uniform Random Variate Generation, V.3.1).
 */
export function randomPlaces(window: PlaneWindow): RandomPlaces {
  const { slabs, total } = slabsOf(window);
  return (random, x, y) => {
    const n = x.length;
    let sum = 0;
    for (let i = 0; i < n; i++) x[i] = sum -= Math.log(1 - random());
    sum -= Math.log(1 - random());
    let s = 0;
    for (let i = 0; i < n; i++) {
      const at = (x[i] / sum) * total;
      while (s + 1 < slabs.length && slabs[s + 1].before <= at) s++;
      const { left, width, atLeft, atRight, before, sides } = slabs[s];
      // Where the area left of x within the slab is what is asked for: a quadratic in the share t of the width.
      const part = (at - before) / width;
      const root = Math.sqrt(Math.max(0, atLeft * atLeft + 2 * (atRight - atLeft) * part));
      const t = Math.min(1, part === 0 ? 0 : (2 * part) / (atLeft + root));
      x[i] = left + t * width;
      let up = random() * (atLeft + t * (atRight - atLeft));
      for (let k = 0; k + 3 < sides.length; k += 4) {
        const low = sides[k] + t * (sides[k + 1] - sides[k]);
        const high = sides[k + 2] + t * (sides[k + 3] - sides[k + 2]);
        y[i] = Math.min(low + up, high);
        up -= high - low;
        if (up <= 0) break;
      }
    }
  };
}

interface Slab {
  readonly left: number;
  readonly width: number;
  /** Length of the cross-section at both cuts. */
  readonly atLeft: number;
  readonly atRight: number;
  /** Area of all slabs before. */
  readonly before: number;
  /** y at the left and at the right cut of each side, from below; two sides an interval. */
  readonly sides: Float64Array;
}

/** Whether no outline of a window crosses itself or lies over another: only then do area, inside and random places agree. */
export function drawnOnce(window: PlaneWindow): boolean {
  const { slabs, total } = slabsOf(window);
  const least = -1e-9 * window.perimeter;
  // Sides keep their order from cut to cut unless two cross between.
  const ordered = slabs.every(({ sides }) => sides.every((y, k) => k < 2 || y - sides[k - 2] >= least));
  return ordered && Math.abs(total / window.area - 1) < 1e-6;
}

function slabsOf({ polygons }: PlaneWindow): { readonly slabs: readonly Slab[]; readonly total: number } {
  const edges = polygons
    .flat()
    .flatMap((ring) => ring.map((p, i) => [p, ring[(i + 1) % ring.length]] as const))
    .filter(([p, q]) => p[0] !== q[0])
    .map(([p, q]) => (p[0] < q[0] ? ([p, q] as const) : ([q, p] as const)))
    .sort(([a], [b]) => a[0] - b[0]);
  const cuts = [...new Set(edges.flatMap(([p, q]) => [p[0], q[0]]))].sort((a, b) => a - b);
  const slabs: Slab[] = [];
  let open: typeof edges = [];
  let next = 0;
  let total = 0;
  for (let c = 0; c + 1 < cuts.length; c++) {
    const [left, right] = [cuts[c], cuts[c + 1]];
    open = open.filter(([, q]) => q[0] > left);
    while (next < edges.length && edges[next][0][0] <= left) open.push(edges[next++]);
    const sides = open
      .map(([p, q]) => {
        const slope = (q[1] - p[1]) / (q[0] - p[0]);
        return [p[1] + slope * (left - p[0]), p[1] + slope * (right - p[0])] as const;
      })
      .sort((a, b) => a[0] + a[1] - b[0] - b[1]);
    let [atLeft, atRight] = [0, 0];
    for (let s = 0; s + 1 < sides.length; s += 2) {
      atLeft += sides[s + 1][0] - sides[s][0];
      atRight += sides[s + 1][1] - sides[s][1];
    }
    const area = ((atLeft + atRight) / 2) * (right - left);
    if (!(area > 0)) continue;
    slabs.push({
      left,
      width: right - left,
      atLeft,
      atRight,
      before: total,
      sides: Float64Array.from(sides.flat()),
    });
    total += area;
  }
  return { slabs, total };
}
