import { describe, expect, it } from 'vitest';
import { axis, stepOf } from '../../src/ui/parts/axis.ts';

describe('an axis', () => {
  it('has ticks at round numbers within its ends', () => {
    expect(axis(9.3, 12.1, false).ticks).toEqual([9.5, 10, 10.5, 11, 11.5, 12]);
    expect(axis(9.3, 12.1, false).decimals).toBe(1);
    expect(axis(930, 1210, false).ticks).toEqual([950, 1000, 1050, 1100, 1150, 1200]);
    expect(axis(-3, 3, false).ticks).toEqual([-2, 0, 2]);
    expect(axis(-3, 3, false).decimals).toBe(0);
  });
  it('begins at nought, not at minus nought', () => {
    expect(Object.is(axis(0, 100, false).ticks[0], 0)).toBe(true);
    expect(Object.is(axis(-0.001, 100, false).ticks[0], 0)).toBe(true);
  });
  it('goes from 0 to 1 between its ends', () => {
    const a = axis(10, 20, false);
    expect([a.place(10), a.place(15), a.place(20)]).toEqual([0, 0.5, 1]);
  });
  it('is logarithmic where it is asked to be', () => {
    const a = axis(1, 100, true);
    expect(a.place(10)).toBeCloseTo(0.5, 12);
    expect(a.ticks.every((t) => t > 0)).toBe(true);
    expect(a.place(-1)).toBeNaN();
  });
  it('has a width where all values are one', () => {
    const a = axis(5, 5, false);
    expect(a.place(5)).toBeCloseTo(0.5, 12);
    expect(a.ticks.length).toBeGreaterThan(0);
    expect(axis(0, 0, false).place(0)).toBeCloseTo(0.5, 12);
  });
  it('steps by 1, 2 or 5 times a power of ten', () => {
    for (const [span, count, step] of [
      [10, 5, 2],
      [1, 4, 0.2],
      [300, 4, 100],
      [19, 4, 5],
    ])
      expect(stepOf(span, count)).toBeCloseTo(step, 12);
  });
});
