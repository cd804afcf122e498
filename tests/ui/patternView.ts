/** Patterns for tests of words and plots: trees set by hand, figures as the caller says. */
import type { PatternView } from '../../src/domain/candidates/pattern/types.ts';

/** A block of `across` by `up` trees, `apart` metres from one another, about its middle. */
export function block(
  across: number,
  up: number,
  apart: number,
  part: Partial<PatternView> = {},
): PatternView {
  const n = across * up;
  const x = Float64Array.from({ length: n }, (_, i) => ((i % across) - (across - 1) / 2) * apart);
  const y = Float64Array.from({ length: n }, (_, i) => (Math.floor(i / across) - (up - 1) / 2) * apart);
  const [e, f] = [(across * apart) / 2, (up * apart) / 2];
  const area = 4 * e * f;
  const expected = 0.5 / Math.sqrt(n / area);
  const index = { expected, R: apart / expected, z: 9.1, p: 1e-12 };
  return {
    n,
    density: n / area,
    meanNearest: apart,
    plain: index,
    donnelly: { ...index, R: index.R * 0.9, z: 7.2 },
    simulatedP: 0.002,
    simulations: 999,
    rows: { order: 4, strength: 0.98, strengths: [0.1, 0.98, 0.2], p: 0.001 },
    verdict: 'regular',
    windowFrom: 'hull',
    stand: '',
    link: 60,
    windowKnown: false,
    trees: Int32Array.from({ length: n }, (_, i) => 100 + i),
    x,
    y,
    window: {
      polygons: [
        [
          [
            [-e, -f],
            [e, -f],
            [e, f],
            [-e, f],
            [-e, -f],
          ],
        ],
      ],
      area,
      perimeter: 4 * (e + f),
    },
    outline: [],
    neighbours: Int32Array.from({ length: 2 * n }, (_, k) => {
      const i = Math.floor(k / 2);
      const [c, r] = [i % across, Math.floor(i / across)];
      return k % 2 === 0 ? i + (c < across - 1 ? 1 : -1) : i + (r < up - 1 ? across : -across);
    }),
    rose: [n, 0, 0, 0, 0, 0, 0, 0, 0, n, 0, 0, 0, 0, 0, 0, 0, 0],
    histogram: { width: 2, trees: [0, 0, n], mean: [2, 4, 3], low: [0, 1, 1], high: [5, 8, 6] },
    diameters: { known: n, mean: 24, spread: 0.09 },
    ...part,
  };
}
