import { describe, expect, it } from 'vitest';
import { areaBox } from '../../../src/domain/layers/areaBox.ts';

describe('the box around an area', () => {
  it('holds all its parts', () => {
    const square = (x: number, y: number) =>
      [
        [x, y],
        [x + 1, y],
        [x + 1, y + 2],
        [x, y],
      ] as const;
    expect(areaBox([[square(0, 0)], [square(5, -3)]])).toEqual([0, -3, 6, 2]);
  });
  it('is turned inside out where there is no corner', () => {
    expect(areaBox([])).toEqual([Infinity, Infinity, -Infinity, -Infinity]);
    expect(areaBox([[]])).toEqual([Infinity, Infinity, -Infinity, -Infinity]);
  });
});
