/** Patterns of trees for tests, from a seeded generator. Jitter is uniform, a share of the spacing up or down, in x and y. */
import type { Random } from '../../../../src/domain/base/rng.ts';
import { planeWindow } from '../../../../src/domain/candidates/pattern/planeWindow.ts';
import type { PlaneWindow } from '../../../../src/domain/candidates/pattern/types.ts';

export interface Places {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

export const places = (points: ReadonlyArray<readonly [number, number]>): Places => ({
  x: Float64Array.from(points, (p) => p[0]),
  y: Float64Array.from(points, (p) => p[1]),
});

export const rectangle = (width: number, height: number): PlaneWindow =>
  planeWindow([[[[0, 0], [width, 0], [width, height], [0, height], [0, 0]]]]); // prettier-ignore

export const scattered = (random: Random, n: number, width: number, height: number): Places =>
  places(Array.from({ length: n }, () => [random() * width, random() * height]));

/** @param shift share of the step by which every other row is moved: 0.5 for a triangular grid. */
export function planted(
  random: Random,
  [columns, rows]: readonly [number, number],
  [step, between]: readonly [number, number],
  shift = 0,
  jitter = 0.15,
): Places {
  const off = (): number => jitter * Math.min(step, between) * (2 * random() - 1);
  return places(
    Array.from({ length: columns * rows }, (_, i) => {
      const row = Math.floor(i / columns);
      return [((i % columns) + 0.5 + (row % 2) * shift) * step + off(), (row + 0.5) * between + off()];
    }),
  );
}

/** Along a line given by its place at a share of its length, up to `half` to both sides. */
export const along = (
  random: Random,
  n: number,
  half: number,
  line: (share: number) => readonly [number, number],
): Places =>
  places(
    Array.from({ length: n }, () => {
      const share = random();
      const [x, y] = line(share);
      const [ahead, up] = line(share + 1e-4);
      const length = Math.hypot(ahead - x, up - y);
      const off = half * (2 * random() - 1);
      return [x - ((up - y) / length) * off, y + ((ahead - x) / length) * off];
    }),
  );
