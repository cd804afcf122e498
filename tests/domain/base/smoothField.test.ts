/** Numbers interpolated over a lattice agree with the field they are of. */
import { describe, expect, it } from 'vitest';
import { smoothField, type Field, type Lattice } from '../../../src/domain/base/smoothField.ts';

/** Counts the places that a field is asked for. */
function counted(f: (x: number, y: number) => number): { field: Field; asked: () => number } {
  let n = 0;
  return {
    field: (x, y) => {
      n += x.length;
      return [x.map((v, i) => f(v, y[i]))];
    },
    asked: () => n,
  };
}
const worst = (
  got: Float64Array,
  { left, top, step, width }: Lattice,
  f: (x: number, y: number) => number,
): number =>
  got.reduce(
    (most, v, i) =>
      Math.max(most, Math.abs(v - f(left + (i % width) * step, top + Math.floor(i / width) * step))),
    0,
  );

describe('a smooth field', () => {
  const f = (x: number, y: number): number => 100 * Math.sin(x / 90) * Math.cos(y / 70) + x * 3;

  it.each([
    [200, 150, 1],
    [1, 300, 1],
    [300, 1, 1],
    [37, 5, 4],
    [3, 3, 1],
  ])('of %d x %d places is within the tolerance, and asked for at few places', (width, height, step) => {
    const lattice = { left: -7.5, top: 3.25, step, width, height };
    for (const tolerance of [1e-2, 1e-5]) {
      const { field } = counted(f);
      const [got] = smoothField(field, lattice, [tolerance]);
      expect(got.length).toBe(width * height);
      expect(worst(got, lattice, f)).toBeLessThan(1.2 * tolerance);
    }
    const { field, asked } = counted(f);
    smoothField(field, lattice, [0.1]);
    if (width * height > 10_000) expect(asked()).toBeLessThan((width * height) / 10);
  });

  it('that is quadratic is right everywhere from thirteen places', () => {
    const q = (x: number, y: number): number => 3 + 2 * x - y + 0.1 * x * y + 0.01 * x * x - 0.02 * y * y;
    const { field, asked } = counted(q);
    const lattice = { left: 0.5, top: 0.5, step: 1, width: 512, height: 512 };
    const [got] = smoothField(field, lattice, [1e-6]);
    expect(worst(got, lattice, q)).toBeLessThan(1e-7);
    expect(asked()).toBe(13);
  });
});

describe('a field with a jump, or without numbers in places', () => {
  it('is taken as it is there', () => {
    const lattice = { left: 0.5, top: 0.5, step: 1, width: 90, height: 80 };
    const f = (x: number, y: number): number => (x + y / 3 > 41 ? x - 360 : x);
    const [got] = smoothField(counted(f).field, lattice, [1e-6]);
    expect(worst(got, lattice, f)).toBeLessThan(1e-9);
    const g = (x: number, y: number): number => (y > 33 + x / 9 ? NaN : x * y);
    const [holed] = smoothField(counted(g).field, lattice, [1e-6]);
    let wrong = 0;
    holed.forEach((v, i) => {
      const want = g((i % 90) + 0.5, Math.floor(i / 90) + 0.5);
      if (Number.isNaN(v) !== Number.isNaN(want) || Math.abs(v - want) > 1e-6) wrong++;
    });
    expect(wrong).toBe(0);
  });

  it('of no places is nothing', () => {
    expect(
      smoothField(counted(() => 1).field, { left: 0, top: 0, step: 1, width: 0, height: 5 }, [1]),
    ).toEqual([new Float64Array(0)]);
  });
});
