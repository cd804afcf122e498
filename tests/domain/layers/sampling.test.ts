import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bilinear4, insideRaster, nearestCell } from '../../../src/domain/layers/sampling.ts';

/** The reader's recipe from the module's documentation, on a small grid in memory. */
function valueAt(grid: readonly (readonly number[])[], col: number, row: number): number {
  const height = grid.length;
  const width = grid[0].length;
  if (!insideRaster(col, row, width, height)) return NaN;
  const at = (c: number, r: number): number =>
    c >= 0 && c < width && r >= 0 && r < height ? grid[r][c] : NaN;
  const c0 = Math.floor(col - 0.5);
  const r0 = Math.floor(row - 0.5);
  return bilinear4(
    col - 0.5 - c0,
    row - 0.5 - r0,
    at(c0, r0),
    at(c0 + 1, r0),
    at(c0, r0 + 1),
    at(c0 + 1, r0 + 1),
  );
}

describe('bilinear value', () => {
  const grid = [
    [1, 2, 4],
    [3, 8, 5],
    [7, 6, 9],
  ];

  it('is the cell at its centre and the mean half way between two', () => {
    for (let r = 0; r < 3; r++)
      for (let c = 0; c < 3; c++) expect(valueAt(grid, c + 0.5, r + 0.5)).toBe(grid[r][c]);
    expect(valueAt(grid, 1, 0.5)).toBe(1.5);
    expect(valueAt(grid, 1.5, 2)).toBe(7);
    expect(valueAt(grid, 1, 1)).toBe(3.5);
  });

  it('weights the four centres: 0.6·0.9·1 + 0.4·0.9·2 + 0.6·0.1·3 + 0.4·0.1·8 by hand', () => {
    expect(valueAt(grid, 0.9, 0.6)).toBeCloseTo(0.54 + 0.72 + 0.18 + 0.32, 12);
  });

  it('follows any plane exactly', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: -50, max: 50, noNaN: true }),
        (x, y, a, b) => {
          expect(bilinear4(x, y, 10, 10 + a, 10 + b, 10 + a + b)).toBeCloseTo(10 + a * x + b * y, 9);
        },
      ),
      { seed: 11 },
    );
  });
});

describe('missing cells', () => {
  it('give up their weight while the others hold half of it', () => {
    // Weights at (0.25, 0.5): 0.375 0.125 / 0.375 0.125. Without the second: (0.375·1 + 0.375·3 + 0.125·4) / 0.875.
    expect(bilinear4(0.25, 0.5, 1, NaN, 3, 4)).toBeCloseTo((0.375 + 1.125 + 0.5) / 0.875, 12);
    // Two missing that hold exactly half: the others hold half, and that is enough.
    expect(bilinear4(0.5, 0.25, NaN, 2, NaN, 4)).toBeCloseTo(0.75 * 2 + 0.25 * 4, 12);
  });

  it('leave no value where the others hold less than half', () => {
    expect(bilinear4(0.49, 0.25, NaN, 2, NaN, 4)).toBeNaN();
    expect(bilinear4(0.1, 0.1, NaN, 2, 3, 4)).toBeNaN();
    expect(bilinear4(0.5, 0.5, NaN, NaN, NaN, 4)).toBeNaN();
    expect(bilinear4(0, 0, NaN, 2, 3, 4)).toBeNaN();
  });

  it('do not matter where they have no weight', () => {
    expect(bilinear4(0, 0, 5, NaN, NaN, NaN)).toBe(5);
    expect(bilinear4(0, 0.25, 4, NaN, 8, NaN)).toBe(5);
  });

  it('agree with a plain reading of the rule on 500 random cases, seed 3', () => {
    const share = fc.double({ min: 0, max: 0.9999, noNaN: true });
    const cell = fc.oneof(fc.constant(NaN), fc.double({ min: -100, max: 100, noNaN: true }));
    fc.assert(
      fc.property(share, share, fc.tuple(cell, cell, cell, cell), (x, y, v) => {
        const w = [(1 - x) * (1 - y), x * (1 - y), (1 - x) * y, x * y];
        const held = w.reduce((s, wi, i) => (Number.isNaN(v[i]) ? s : s + wi), 0);
        const sum = w.reduce((s, wi, i) => (Number.isNaN(v[i]) ? s : s + wi * v[i]), 0);
        const got = bilinear4(x, y, ...v);
        if (held < 0.5 - 1e-12) expect(got).toBeNaN();
        else if (held > 0.5 + 1e-12) expect(got).toBeCloseTo(sum / held, 9);
      }),
      { seed: 3, numRuns: 500 },
    );
  });
});

describe('the edge of the raster', () => {
  const grid = [
    [10, 20],
    [30, 40],
  ];

  it('outside there is no value, on the outer edge half-open: 0 is in, the width is out', () => {
    for (const [c, r] of [
      [-1e-9, 1],
      [2, 1],
      [1, -1e-9],
      [1, 2],
      [NaN, 1],
      [1, NaN],
      [Infinity, 1],
    ])
      expect(valueAt(grid, c, r)).toBeNaN();
    expect(insideRaster(0, 0, 2, 2)).toBe(true);
    expect(insideRaster(2, 0, 2, 2)).toBe(false);
  });

  it('on a straight edge the outermost centres carry the value to the edge', () => {
    expect(valueAt(grid, 0, 0.5)).toBe(10);
    expect(valueAt(grid, 0, 1)).toBe(20);
    expect(valueAt(grid, 1.9, 1)).toBeCloseTo(30, 12);
  });

  it('in a corner there is a value only where the corner cell weighs half or more', () => {
    expect(valueAt(grid, 0, 0)).toBeNaN(); // weight 0.25
    expect(valueAt(grid, 0.2, 0.2)).toBeNaN(); // 0.7 · 0.7 = 0.49
    expect(valueAt(grid, 0.22, 0.22)).toBe(10); // 0.72 · 0.72 = 0.5184
  });

  it('a raster of one cell has its value round its centre', () => {
    expect(valueAt([[7]], 0.5, 0.5)).toBe(7);
    expect(valueAt([[7]], 0.25, 0.4)).toBe(7);
    expect(valueAt([[7]], 0.1, 0.1)).toBeNaN();
  });

  it('nearest is the cell that holds the position', () => {
    expect([0, 0.49, 0.99, 1, 1.999].map(nearestCell)).toEqual([0, 0, 0, 1, 1]);
  });
});
