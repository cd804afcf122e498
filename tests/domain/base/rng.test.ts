import { describe, expect, it } from 'vitest';
import { drawInteger, rng, shuffle } from '../../../src/domain/base/rng.ts';

describe('seeded random numbers', () => {
  it('repeat for one seed, differ for another, and lie in [0, 1)', () => {
    const a = rng(7);
    const b = rng(7);
    const c = rng(8);
    let same = 0;
    for (let i = 0; i < 2000; i++) {
      const x = a();
      expect(x).toBe(b());
      expect(x >= 0 && x < 1).toBe(true);
      if (x === c()) same++;
    }
    expect(same).toBe(0);
  });

  it('take any number as a seed modulo 2^32', () => {
    expect(rng(2 ** 32 + 5)()).toBe(rng(5)());
    expect(rng(-1)()).toBe(rng(2 ** 32 - 1)());
  });

  it('whole numbers cover 0 .. n - 1 evenly: chi-square of 60 000 throws of a die, seed 1', () => {
    const random = rng(1);
    const counts = new Array<number>(6).fill(0);
    for (let i = 0; i < 60_000; i++) counts[drawInteger(random, 6)]++;
    const x2 = counts.reduce((s, n) => s + (n - 10_000) ** 2 / 10_000, 0);
    expect(x2).toBeLessThan(20.515); // upper 0.001 point, 5 degrees of freedom
    expect(x2).toBeGreaterThan(0.21); // lower 0.001 point: not suspiciously even either
  });

  it('shuffling keeps the items and reaches every order equally: 24 000 shuffles of four, seed 2', () => {
    const random = rng(2);
    const seen = new Map<string, number>();
    for (let i = 0; i < 24_000; i++) {
      const order = shuffle(['a', 'b', 'c', 'd'], random).join('');
      seen.set(order, (seen.get(order) ?? 0) + 1);
    }
    expect(seen.size).toBe(24);
    const x2 = [...seen.values()].reduce((s, n) => s + (n - 1000) ** 2 / 1000, 0);
    expect(x2).toBeLessThan(49.73); // upper 0.001 point, 23 degrees of freedom
    const typed = shuffle(Int32Array.of(1, 2, 3, 4, 5), random);
    expect([...typed].sort()).toEqual([1, 2, 3, 4, 5]);
  });
});
