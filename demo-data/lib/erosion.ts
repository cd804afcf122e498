/**
 * Drainage for an invented landscape: stream-power incision solved implicitly along the flow tree
 * (Braun & Willett 2013, Geomorphology 180), area exponent 1/2 and slope exponent 1, so that only exactly
 * rounded operations are used and the result is the same on every machine.
 */
import { Heap } from './heap.ts';
import { hash2 } from './rng.ts';

export interface Drainage {
  /** Cell that each cell drains to (itself at an outlet). */
  readonly receiver: Int32Array;
  /** Cells in order from the outlets upstream. */
  readonly order: Int32Array;
  /** Upstream area with the cell itself, in cells. */
  readonly area: Float64Array;
}

const DX = [-1, 0, 1, -1, 1, -1, 0, 1];
const DY = [-1, -1, -1, 0, 0, 1, 1, 1];

/** Raises every pit so that water reaches an outlet (priority flood; Barnes et al. 2014), in place. */
export function fillPits(n: number, h: Float64Array, outlet: Uint8Array): void {
  const heap = new Heap(n * n);
  const seen = new Uint8Array(n * n);
  for (let i = 0; i < n * n; i++)
    if (outlet[i]) {
      seen[i] = 1;
      heap.push(i, h[i]);
    }
  for (let i = heap.pop(); i >= 0; i = heap.pop()) {
    const x = i % n;
    const y = (i - x) / n;
    for (let d = 0; d < 8; d++) {
      const nx = x + DX[d];
      const ny = y + DY[d];
      if (nx < 0 || ny < 0 || nx >= n || ny >= n) continue;
      const j = ny * n + nx;
      if (seen[j]) continue;
      seen[j] = 1;
      // A step of random height: water crosses filled ground on a crooked way, not along the grid.
      if (h[j] <= h[i]) h[j] = h[i] + 1e-3 + 0.4 * hash2(nx, ny, 31);
      heap.push(j, h[j]);
    }
  }
}

/** What drainage writes to: kept from step to step, since new memory is dear. */
export interface Room extends Drainage {
  readonly donors: Int32Array;
  readonly fill: Int32Array;
  readonly list: Int32Array;
}

export const roomOf = (cells: number): Room => ({
  receiver: new Int32Array(cells),
  order: new Int32Array(cells),
  area: new Float64Array(cells),
  donors: new Int32Array(cells + 1),
  fill: new Int32Array(cells + 1),
  list: new Int32Array(cells),
});

export function drainage(n: number, h: Float64Array, outlet: Uint8Array, room: Room): Drainage {
  const cells = n * n;
  const { receiver, order, area, donors, fill, list } = room;
  donors.fill(0);
  for (let y = 0, i = 0; y < n; y++)
    for (let x = 0; x < n; x++, i++) {
      let best = i;
      const z = h[i];
      if (outlet[i]) best = i;
      else if (x > 0 && y > 0 && x < n - 1 && y < n - 1) {
        // Written out in the order of DX and DY: twice as fast as the loop over them, and nearly all cells come here.
        let steepest = 0;
        let slope = (z - h[i - n - 1]) * Math.SQRT1_2;
        if (slope > steepest) {
          steepest = slope;
          best = i - n - 1;
        }
        slope = z - h[i - n];
        if (slope > steepest) {
          steepest = slope;
          best = i - n;
        }
        slope = (z - h[i - n + 1]) * Math.SQRT1_2;
        if (slope > steepest) {
          steepest = slope;
          best = i - n + 1;
        }
        slope = z - h[i - 1];
        if (slope > steepest) {
          steepest = slope;
          best = i - 1;
        }
        slope = z - h[i + 1];
        if (slope > steepest) {
          steepest = slope;
          best = i + 1;
        }
        slope = (z - h[i + n - 1]) * Math.SQRT1_2;
        if (slope > steepest) {
          steepest = slope;
          best = i + n - 1;
        }
        slope = z - h[i + n];
        if (slope > steepest) {
          steepest = slope;
          best = i + n;
        }
        slope = (z - h[i + n + 1]) * Math.SQRT1_2;
        if (slope > steepest) best = i + n + 1;
      } else {
        let steepest = 0;
        for (let d = 0; d < 8; d++) {
          const nx = x + DX[d];
          const ny = y + DY[d];
          if (nx < 0 || ny < 0 || nx >= n || ny >= n) continue;
          const slope = (z - h[ny * n + nx]) * (DX[d] && DY[d] ? Math.SQRT1_2 : 1);
          if (slope > steepest) {
            steepest = slope;
            best = ny * n + nx;
          }
        }
      }
      receiver[i] = best;
      if (best !== i) donors[best + 1]++;
    }
  for (let i = 0; i < cells; i++) donors[i + 1] += donors[i];
  fill.set(donors);
  for (let i = 0; i < cells; i++) if (receiver[i] !== i) list[fill[receiver[i]]++] = i;
  let done = 0;
  for (let i = 0; i < cells; i++) if (receiver[i] === i) order[done++] = i;
  for (let at = 0; at < done; at++) {
    const i = order[at];
    for (let k = donors[i]; k < donors[i + 1]; k++) order[done++] = list[k]!;
  }
  area.fill(1);
  for (let at = cells - 1; at >= 0; at--) {
    const i = order[at];
    if (receiver[i] !== i) area[receiver[i]] += area[i];
  }
  return room;
}

/** One time step: uplift (metres), then incision with strength k (cells^(1/2)), then creep of the hill slopes. */
export function erodeStep(
  n: number,
  h: Float64Array,
  uplift: Float64Array,
  k: Float64Array,
  creep: number,
  outlet: Uint8Array,
  room: Room,
): void {
  const { receiver, order, area } = drainage(n, h, outlet, room);
  for (let at = 0; at < order.length; at++) {
    const i = order[at];
    const r = receiver[i];
    if (r === i) continue;
    const away = Math.abs(i - r);
    const f = k[i] * Math.sqrt(area[i]) * (away === 1 || away === n ? 1 : Math.SQRT1_2);
    h[i] = (h[i] + uplift[i] + f * h[r]) / (1 + f);
  }
  const before = h.slice();
  for (let y = 1; y < n - 1; y++)
    for (let x = 1; x < n - 1; x++) {
      const i = y * n + x;
      h[i] =
        before[i] + creep * ((before[i - 1] + before[i + 1] + before[i - n] + before[i + n]) / 4 - before[i]);
    }
}
