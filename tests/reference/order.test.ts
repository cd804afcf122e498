import { describe, expect, it } from 'vitest';
import { order } from '../../src/domain/scouting/order.ts';
import { berlin52, burma14, furtherInstances, ulysses16, ulysses22, type Instance } from './tsplib.ts';

// Optima: TSPLIB (Reinelt 1991, ORSA Journal on Computing 3:376-384).
describe('published route instances', () => {
  it.each([burma14, ulysses16, ulysses22])('$name: the published optimum, proven', ({ n, cost, optimum }) => {
    const found = order({ n, cost, start: null, end: null, closed: true });
    expect(found.total).toBe(optimum);
    expect(found.bound).toBe(optimum);
  });

  const larger: Instance[] = [berlin52, ...furtherInstances];
  it.each(larger)(
    '$name: within 1 % of the published optimum, the bound below it and within 2 %',
    ({ n, cost, optimum }) => {
      const found = order({ n, cost, start: 0, end: null, closed: true });
      expect([...found.order].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
      expect(found.total).toBeGreaterThanOrEqual(optimum);
      expect(found.total).toBeLessThanOrEqual(1.01 * optimum);
      expect(found.bound).toBeLessThanOrEqual(optimum);
      expect(found.bound).toBeGreaterThanOrEqual(0.98 * optimum);
    },
  );

  it('proves the optimum of wi29, berlin52 and usca50 by the bound alone', () => {
    for (const { name, n, cost, optimum } of larger.filter((i) =>
      ['wi29', 'berlin52', 'usca50'].includes(i.name),
    ))
      expect(order({ n, cost, start: 0, end: null, closed: true }), name).toMatchObject({
        total: optimum,
        bound: optimum,
      });
  });

  // Computed by a full dynamic programme on the same distances.
  it.each([
    [burma14, 2880],
    [ulysses16, 5201],
    [ulysses22, 5423],
  ])('$name: open way from the first place', ({ n, cost }, expected) => {
    const found = order({ n, cost, start: 0, end: null, closed: false });
    expect(found.total).toBe(expected);
    expect(found.bound).toBe(expected);
  });
});
