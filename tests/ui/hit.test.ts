/** Which tree a click on the map means. Marks: members 9 px in radius, reserves 7, dots 4. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { hit, REACH, type Drawn } from '../../src/map/hit.ts';
import { CLICKABLE } from '../../src/map/order.ts';

const tree = (layer: string, row: number, x: number, y = 0): Drawn => ({ layer, row, x, y });

describe('a click on the map', () => {
  it('means the disc that it falls on, not a dot hidden under it', () => {
    const drawn = [tree('point eligible', 1, 3), tree('member', 2, 0)];
    expect(hit(drawn, 3, 0, REACH.mouse)).toBe(2);
    expect(hit(drawn, 13, 0, REACH.touch)).toBe(2);
  });

  it('means the dot beside a disc when it falls on the dot', () => {
    expect(hit([tree('point eligible', 1, 16), tree('member', 2, 0)], 15, 0, REACH.mouse)).toBe(1);
  });

  it('means the nearer of two discs that overlap', () => {
    const pair = [tree('member', 1, 0), tree('member', 2, 8)];
    expect(hit(pair, 7, 0, REACH.mouse)).toBe(2);
    expect(hit(pair, 1, 0, REACH.mouse)).toBe(1);
    expect(hit([...pair].reverse(), 1, 0, REACH.mouse)).toBe(1);
  });

  it('may miss a dot by 5 pixels with a mouse and by 12 with a finger', () => {
    const drawn = [tree('point check', 7, 0)];
    expect(hit(drawn, 9, 0, REACH.mouse)).toBe(7);
    expect(hit(drawn, 9.1, 0, REACH.mouse)).toBeNull();
    expect(hit(drawn, 16, 0, REACH.touch)).toBe(7);
    expect(hit(drawn, 16.1, 0, REACH.touch)).toBeNull();
    expect(hit([], 0, 0, REACH.touch)).toBeNull();
  });

  it('does not depend on the order in which trees of different places are found', () => {
    const drawn = fc.uniqueArray(
      fc.record({
        layer: fc.constantFrom(...CLICKABLE),
        row: fc.integer({ min: 0, max: 99 }),
        x: fc.double({ min: -30, max: 30, noNaN: true }),
        y: fc.double({ min: -30, max: 30, noNaN: true }),
      }),
      { selector: (d) => d.row, maxLength: 12 },
    );
    fc.assert(
      fc.property(drawn, (all) => {
        const costs = all.map((d) => Math.hypot(d.x, d.y));
        fc.pre(new Set(costs.map((c) => c.toFixed(6))).size === all.length);
        expect(hit([...all].reverse(), 0, 0, 16)).toBe(hit(all, 0, 0, 16));
      }),
    );
  });
});
