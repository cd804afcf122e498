import type { Local } from './frame.ts';
import type { Rng } from './rng.ts';

/** A random unit vector, by exactly rounded operations. */
export function heading(r: Rng): Local {
  for (;;) {
    const [x, y] = [r.between(-1, 1), r.between(-1, 1)];
    const d = x * x + y * y;
    if (d < 0.04 || d > 1) continue;
    return [x / Math.sqrt(d), y / Math.sqrt(d)];
  }
}

/** So many metres ahead along a heading, and to its left. */
export const step = (from: Local, [a, b]: Local, ahead: number, left: number): Local => [
  from[0] + a * ahead - b * left,
  from[1] + b * ahead + a * left,
];
