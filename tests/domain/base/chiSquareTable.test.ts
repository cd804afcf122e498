import { describe, expect, it } from 'vitest';
import { chiSquareTable } from '../../../src/domain/base/chiSquareTable.ts';
import { chiSquareWhole } from '../../../src/domain/base/chiSquareWhole.ts';

describe('the tail of chi-square from a table', () => {
  it('is within 1e-9 of the function for every k of a match', () => {
    for (let k = 1; k <= 31; k++) {
      const exact = chiSquareWhole(k);
      const table = chiSquareTable(k);
      let worst = 0;
      for (let x = 0; x < 300; x += 0.0173) worst = Math.max(worst, Math.abs(exact(x) - table(x)));
      expect(worst, `k = ${k}`).toBeLessThan(1e-9);
    }
  });
  it('is the function itself where hardly anything is left, and at its ends', () => {
    const [exact, table] = [chiSquareWhole(6), chiSquareTable(6)];
    for (const x of [90, 200, 1400]) expect(table(x)).toBe(exact(x));
    expect(table(0)).toBe(1);
    expect(table(-1e-20)).toBe(1);
    expect(table(NaN)).toBeNaN();
  });
  it('never rises', () => {
    for (const k of [1, 2, 3, 6]) {
      const table = chiSquareTable(k);
      let before = 1;
      for (let x = 0; x < 60; x += 0.0037) {
        const now = table(x);
        expect(now).toBeLessThanOrEqual(before);
        before = now;
      }
    }
  });
});
