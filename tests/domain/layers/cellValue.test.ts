import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellValue } from '../../../src/domain/layers/cellValue.ts';

const WIDTH = 7;
const HEIGHT = 6;
const grid = (f: (c: number, r: number) => number): Float32Array =>
  Float32Array.from({ length: WIDTH * HEIGHT }, (_, i) => f(i % WIDTH, Math.floor(i / WIDTH)));
const inner = { min: 2.5, max: 3.5, noNaN: true } as const;

describe('value of a grid between its cells', () => {
  it('is a plane exactly where the cells lie on one, for both smooth kernels', () => {
    // Both kernels have linear precision; cell (c, r) has its centre at (c + 0.5, r + 0.5).
    const cells = grid((c, r) => 3 * (c + 0.5) - 2 * (r + 0.5) + 10);
    fc.assert(
      fc.property(
        fc.double(inner),
        fc.double(inner),
        fc.constantFrom('bilinear', 'spline'),
        (x, y, kernel) => {
          expect(cellValue(cells, WIDTH, HEIGHT, x, y, kernel)).toBeCloseTo(3 * x - 2 * y + 10, 5);
        },
      ),
    );
  });

  it('spreads one high cell by the weights of each kernel', () => {
    const cells = grid((c, r) => (c === 3 && r === 3 ? 36 : 0));
    const at = (x: number, y: number, kernel: 'nearest' | 'bilinear' | 'spline'): number =>
      cellValue(cells, WIDTH, HEIGHT, x, y, kernel);
    // At the centre a cubic B-spline weighs its own cell 4/6 each way: 36 * 16/36; two cells beside it 1/6: 36 * 4/36.
    expect(at(3.5, 3.5, 'spline')).toBeCloseTo(16, 5);
    expect(at(2.5, 3.5, 'spline')).toBeCloseTo(4, 5);
    expect(at(3.5, 3.5, 'bilinear')).toBe(36);
    // On the corner that four cells share each has a quarter.
    expect(at(3, 3, 'bilinear')).toBe(9);
    expect(at(3.99, 3.01, 'nearest')).toBe(36);
    expect(at(4, 3.01, 'nearest')).toBe(0);
  });

  it('never leaves the range of the cells', () => {
    fc.assert(
      fc.property(
        fc.array(fc.float({ min: -500, max: 500, noNaN: true }), { minLength: 42, maxLength: 42 }),
        fc.double({ min: 0, max: 6.999, noNaN: true }),
        fc.double({ min: 0, max: 5.999, noNaN: true }),
        fc.constantFrom('nearest', 'bilinear', 'spline'),
        (values, x, y, kernel) => {
          const v = cellValue(Float32Array.from(values), WIDTH, HEIGHT, x, y, kernel);
          expect(v).toBeGreaterThanOrEqual(Math.min(...values) - 1e-3);
          expect(v).toBeLessThanOrEqual(Math.max(...values) + 1e-3);
        },
      ),
    );
  });

  it('is missing outside and in a missing cell, and falls back beside one', () => {
    const cells = grid((c, r) => (c === 3 && r === 3 ? NaN : c));
    expect(cellValue(cells, WIDTH, HEIGHT, -0.01, 2, 'nearest')).toBeNaN();
    expect(cellValue(cells, WIDTH, HEIGHT, 7, 2, 'nearest')).toBeNaN();
    expect(cellValue(cells, WIDTH, HEIGHT, NaN, 2, 'spline')).toBeNaN();
    for (const kernel of ['nearest', 'bilinear', 'spline'] as const)
      expect(cellValue(cells, WIDTH, HEIGHT, 3.6, 3.4, kernel)).toBeNaN();
    // Its neighbour on the side of the gap has its own value; on the far side it is bilinear.
    expect(cellValue(cells, WIDTH, HEIGHT, 2.9, 3.5, 'bilinear')).toBe(2);
    expect(cellValue(cells, WIDTH, HEIGHT, 2.25, 3.5, 'spline')).toBeCloseTo(1.75, 6);
  });
});
