import { drawInteger } from '../../base/rng.ts';
import { planeWindow } from './planeWindow.ts';
import type { RandomPlaces } from './randomPlaces.ts';
import type { TreeLine } from './treeLine.ts';
import type { PlaneWindow } from './types.ts';

/** Corners along each side of the band. */
const CORNERS = 32;

/**
 * The band along a line of n trees: as far to both sides as the trees stand, at least half a gap, and half a gap past the ends.
 */
export function lineWindow(line: TreeLine, n: number): PlaneWindow {
  const gap = (line.to - line.from) / Math.max(1, n - 1);
  const half = Math.max(line.half * line.snug, gap / 2);
  const from = line.from - gap / 2;
  const step = (line.to - line.from + gap) / CORNERS;
  const side = (offset: number): [number, number][] =>
    Array.from({ length: CORNERS + 1 }, (_, k) => placeOn(line, from + k * step, offset));
  const ring = [...side(-half), ...side(half).reverse()];
  return planeWindow([[[...ring, ring[0]]]]);
}

/**
 * Complete randomness along a line: the first and the last tree where they are, the others anywhere between, each at the
 * distance from the line of some tree. So nothing is supposed of how trees spread across a stream bank or a fence row.
 */
export function linePlaces(line: TreeLine): RandomPlaces {
  const n = line.along.length;
  const offset = line.offset.map((d) => d * line.snug);
  return (random, x, y) => {
    for (let i = 0; i < n; i++) {
      const j = drawInteger(random, i + 1);
      const held = offset[i];
      offset[i] = offset[j];
      offset[j] = held;
    }
    for (let i = 0; i < n; i++) {
      const share = i === 0 ? 0 : i === n - 1 ? 1 : random();
      const [px, py] = placeOn(line, line.from + share * (line.to - line.from), offset[i]);
      // Put where it belongs among those before it: the order is by x.
      let k = i;
      for (; k > 0 && x[k - 1] > px; k--) {
        x[k] = x[k - 1];
        y[k] = y[k - 1];
      }
      x[k] = px;
      y[k] = py;
    }
  };
}

/** The place so far along the curve and so far to the left of it. */
function placeOn({ x, y, length }: TreeLine, along: number, offset: number): [number, number] {
  const last = length.length - 2;
  let [low, high] = [0, last];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (length[middle] <= along) low = middle;
    else high = middle - 1;
  }
  // A corner that stands twice has no direction.
  while (low > 0 && length[low + 1] === length[low]) low--;
  const step = length[low + 1] - length[low] || 1;
  const [ux, uy] = [(x[low + 1] - x[low]) / step, (y[low + 1] - y[low]) / step];
  const foot = along - length[low];
  return [x[low] + ux * foot - uy * offset, y[low] + uy * foot + ux * offset];
}
