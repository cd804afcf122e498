import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { distance } from '../../../src/domain/vetting/match/distance.ts';
import { mess, similarity } from '../../../src/domain/vetting/match/mess.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';

const column = (...x: number[]): Float64Array => Float64Array.from(x).sort();

/** The definition, counted one by one. */
function byDefinition(reference: Float64Array, p: number): number {
  const f = (100 * reference.filter((x) => x < p).length) / reference.length;
  const [least, most] = [Math.min(...reference), Math.max(...reference)];
  if (f === 0) return (100 * (p - least)) / (most - least);
  if (f <= 50) return 2 * f;
  if (f < 100) return 2 * (100 - f);
  return (100 * (most - p)) / (most - least);
}

describe('similarity to the reference', () => {
  it.each([1, 2, 3, 4, 5])('is that of the definition, ties and all, seed %i', (seed) => {
    const random = rng(seed);
    const n = 2 + Math.floor(random() * 60);
    // Whole numbers of a small range have many ties.
    const reference = column(0, 9, ...Array.from({ length: n }, () => Math.floor(random() * 10)));
    for (let p = -3; p <= 12; p += 0.5)
      expect(similarity(reference, p)).toBeCloseTo(byDefinition(reference, p), 10);
  });

  it('is 100 in the middle, 0 at the least, and falls below 0 as soon as the range is left', () => {
    const reference = column(1, 2, 3, 4);
    expect(similarity(reference, 2.5)).toBe(100);
    expect(similarity(reference, 1)).toBe(0);
    expect(similarity(reference, 4)).toBe(50);
    expect(similarity(reference, 1 - 1e-9)).toBeLessThan(0);
    expect(similarity(reference, 4 + 1e-9)).toBeLessThan(0);
    expect(similarity(reference, -2)).toBe(-100);
  });

  it('to a reference of one value is 0 there and below 0 elsewhere', () => {
    for (const reference of [column(5), column(5, 5, 5)])
      expect([4, 5, 6].map((p) => similarity(reference, p))).toEqual([-100, 0, -100]);
  });

  it('is not known without a value or without a reference', () => {
    expect(similarity(column(1, 2), NaN)).toBeNaN();
    expect(similarity(column(), 1)).toBeNaN();
  });
});

describe('the most dissimilar variable', () => {
  it('is the one with the lowest similarity, the first of equals; unknown where one is missing', () => {
    const reference = [column(0, 1, 2, 3), column(0, 10, 20, 30)];
    const values = [Float64Array.of(1.5, 6, 1.5, 1.5, NaN), Float64Array.of(15, 15, -3, NaN, 15)];
    const { mess: lowest, unlike } = mess(reference, values);
    expect([...lowest]).toEqual([100, -100, -10, NaN, NaN]);
    expect([...unlike]).toEqual([0, 0, 1, -1, -1]);
    expect([...mess([column(), column()], values).unlike]).toEqual([-1, -1, -1, -1, -1]);
  });

  it.each([1, 2, 3])('is below 0 just where a variable is marked as outside, seed %i', (seed) => {
    const random = rng(seed);
    const k = 3;
    const names = ['a', 'b', 'c'];
    // One of the references is a single value: places that have it are inside.
    const reference = [
      column(...Array.from({ length: 200 }, () => random())),
      column(...Array.from({ length: 200 }, () => Math.floor(3 * random()))),
      column(...new Array<number>(200).fill(1)),
    ];
    const values = reference.map((_, v) =>
      Float64Array.from({ length: 500 }, () => (v === 0 ? 3 * random() - 1 : Math.floor(5 * random()) - 1)),
    );
    for (const v of [0, 1]) values[v][0] = reference[v][0];
    values[2][0] = 1;
    const s = new Float64Array(k * k);
    for (let v = 0; v < k; v++) s[v * k + v] = 1;
    const { novel } = distance(
      metric(s, names),
      new Float64Array(k),
      values,
      Float64Array.from(reference, (r) => r[0]),
      Float64Array.from(reference, (r) => r[r.length - 1]),
    );
    const { mess: lowest, unlike } = mess(reference, values);
    expect(novel[0]).toBe(0);
    for (let i = 0; i < 500; i++) {
      for (let v = 0; v < k; v++)
        expect(similarity(reference[v], values[v][i]) < 0).toBe((novel[i] & (1 << v)) !== 0);
      expect(lowest[i] < 0).toBe(novel[i] !== 0);
      if (novel[i] !== 0) expect(novel[i] & (1 << unlike[i])).not.toBe(0);
    }
  });
});
