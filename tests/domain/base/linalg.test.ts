import { describe, expect, it } from 'vitest';
import { symmetricEigen } from '../../../src/domain/base/linalg.ts';
import { rng } from '../../../src/domain/base/rng.ts';

describe('eigenvalues of symmetric matrices', () => {
  it('[[2, 1], [1, 2]] has 3 along (1, 1) and 1 along (1, -1)', () => {
    const { values, vectors } = symmetricEigen(Float64Array.of(2, 1, 1, 2), 2);
    expect(values[0]).toBeCloseTo(3, 14);
    expect(values[1]).toBeCloseTo(1, 14);
    expect(vectors[0] * vectors[1]).toBeCloseTo(0.5, 14);
    expect(vectors[2] * vectors[3]).toBeCloseTo(-0.5, 14);
  });

  it('the second-difference matrix has 2 - 2 cos(j pi / (n + 1)) (closed form), n = 20', () => {
    const n = 20;
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      a[i * n + i] = 2;
      if (i + 1 < n) a[i * n + i + 1] = a[(i + 1) * n + i] = -1;
    }
    const { values } = symmetricEigen(a, n);
    for (let j = 1; j <= n; j++)
      expect(values[n - j]).toBeCloseTo(2 - 2 * Math.cos((j * Math.PI) / (n + 1)), 12);
  });

  it.each([1, 2, 3, 4, 5, 6])('vectors are orthonormal and rebuild a random matrix, seed %i', (seed) => {
    const random = rng(seed);
    const n = 1 + Math.floor(random() * 12);
    const a = new Float64Array(n * n);
    for (let i = 0; i < n; i++) for (let j = i; j < n; j++) a[i * n + j] = a[j * n + i] = random() * 2 - 1;
    const before = Float64Array.from(a);
    const { values, vectors } = symmetricEigen(a, n);
    expect(a).toEqual(before);
    for (let i = 0; i < n; i++) {
      if (i > 0) expect(values[i]).toBeLessThanOrEqual(values[i - 1]);
      for (let j = 0; j < n; j++) {
        let dot = 0;
        let rebuilt = 0;
        for (let m = 0; m < n; m++) {
          dot += vectors[i * n + m] * vectors[j * n + m];
          rebuilt += values[m] * vectors[m * n + i] * vectors[m * n + j];
        }
        expect(dot).toBeCloseTo(i === j ? 1 : 0, 12);
        expect(rebuilt).toBeCloseTo(a[i * n + j], 12);
      }
    }
  });
});
