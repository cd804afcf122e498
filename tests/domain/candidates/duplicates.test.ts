import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { at } from '../zones/grid.ts';
import { make, type Short } from './make.ts';

const tree = (x: number, y: number, more: Short = {}): Short => {
  const [lon, lat] = at(x, y);
  return { lon, lat, ...more };
};
const repeats = (...trees: Short[]): number[] => [...make(trees).duplicateOf];

describe('duplicates', () => {
  test('within 5 m it is the same tree, whatever the accuracy', () => {
    expect(repeats(tree(0, 0), tree(4.9, 0))).toEqual([-1, 0]);
    expect(repeats(tree(0, 0), tree(5.1, 0))).toEqual([-1, -1]);
  });
  test('poor positions reach further: the smaller radius counts, at most 30 m', () => {
    expect(repeats(tree(0, 0, { accuracy: 12 }), tree(11, 0, { accuracy: 500 }))).toEqual([-1, 0]);
    expect(repeats(tree(0, 0, { accuracy: 12 }), tree(13, 0, { accuracy: 500 }))).toEqual([-1, -1]);
    expect(repeats(tree(0, 0, { accuracy: 500 }), tree(29, 0, { accuracy: 500 }))).toEqual([-1, 0]);
    expect(repeats(tree(0, 0, { accuracy: 500 }), tree(31, 0, { accuracy: 500 }))).toEqual([-1, -1]);
    // Not recorded is not poor: only the 5 m hold.
    expect(repeats(tree(0, 0, { accuracy: 500 }), tree(11, 0))).toEqual([-1, -1]);
  });
  test('another species, or a hybrid, is another tree', () => {
    expect(
      repeats(
        tree(0, 0),
        tree(1, 0, { species: 'bur oak' }),
        tree(1, 0, { species: 'Q. alba x macrocarpa' }),
      ),
    ).toEqual([-1, -1, -1]);
  });
  test('names that are not in the table must be the same', () => {
    expect(
      repeats(
        tree(0, 0, { species: 'red oak' }),
        tree(1, 0, { species: 'Red Oak ' }),
        tree(1, 0, { species: 'some oak' }),
      ),
    ).toEqual([-1, 0, -1]);
  });
  test('diameters that differ by more than 15 % are two trees', () => {
    expect(repeats(tree(0, 0, { dbh: 60 }), tree(1, 0, { dbh: 66 }))).toEqual([-1, 0]);
    expect(repeats(tree(0, 0, { dbh: 60 }), tree(1, 0, { dbh: 80 }))).toEqual([-1, -1]);
    expect(repeats(tree(0, 0, { dbh: 60 }), tree(1, 0))).toEqual([-1, 0]);
  });
  test('all repeats name the first record, not one another', () => {
    expect(repeats(tree(0, 0), tree(3, 0), tree(3, 1), tree(6, 0))).toEqual([-1, 0, 0, -1]);
  });
  test('the same as comparing all pairs (property)', () => {
    const one = fc.record({
      x: fc.integer({ min: 0, max: 60 }),
      y: fc.integer({ min: 0, max: 60 }),
      accuracy: fc.constantFrom(NaN, 3, 10, 25, 400),
      species: fc.constantFrom('Quercus alba', 'Quercus rubra'),
    });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 40 }), (trees) => {
        const c = make(trees.map((t) => tree(t.x, t.y, t)));
        const truth: number[] = [];
        for (let i = 0; i < c.n; i++) {
          let of = -1;
          for (let j = 0; j < i && of < 0; j++) {
            if (truth[j] >= 0 || c.species[i] !== c.species[j]) continue;
            const radius = Math.max(5, Math.min(30, c.accuracy[i] || 0, c.accuracy[j] || 0));
            if (geodesicMetres(c.lon[i], c.lat[i], c.lon[j], c.lat[j]) < radius - 1e-4) of = j;
          }
          truth.push(of);
        }
        // Whole metres apart a radius is often met exactly; there the last digit decides, so such pairs are skipped.
        const close = (a: number, b: number): boolean => {
          const d = Math.hypot(trees[a].x - trees[b].x, trees[a].y - trees[b].y);
          return [3, 5, 10, 25, 30].some((r) => Math.abs(d - r) < 0.01);
        };
        const doubtful = trees.some((_, i) => trees.some((_, j) => j < i && close(i, j)));
        fc.pre(!doubtful);
        expect([...c.duplicateOf]).toEqual(truth);
      }),
      { numRuns: 300, seed: 7 },
    );
  });
});
