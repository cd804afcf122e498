/** Oaks of the section about a tree: counted in columns, listed for one, weighed in words. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { geodesicMetres } from '../../../src/domain/base/geodesy.ts';
import { doubts } from '../../../src/domain/candidates/doubts.ts';
import { kin } from '../../../src/domain/candidates/kin.ts';
import { KIN_LEVELS, kinLevel } from '../../../src/domain/candidates/kinLevel.ts';
import { kinOf } from '../../../src/domain/candidates/kinOf.ts';
import { OAKS } from '../../../src/domain/species/species.ts';
import { at } from '../zones/grid.ts';
import { make, type Short } from './make.ts';

/** Named by somebody, so that nothing is in doubt unless a test says so. */
const tree = (x: number, y: number, species = 'Quercus alba', text: Short['text'] = {}): Short => {
  const [lon, lat] = at(x, y);
  return { lon, lat, species, text: { identifiedBy: 'J. Placeholder', keyUsed: 'leaf', ...text } };
};
const numbers = (...trees: Short[]): number[] => [...kin(make(trees), 100).kin];
const shares = (...trees: Short[]): number[] => [...kin(make(trees), 100).kinShare];
const levels = (...trees: Short[]): (string | undefined)[] =>
  [...kin(make(trees), 100).kinLevel].map((l) => KIN_LEVELS[l] as string | undefined);
const white = tree(0, 0);

describe('number and share', () => {
  test('other species of the section within the radius; the tree itself is one of its own kind', () => {
    const trees = [white, tree(50, 0, 'bur oak'), tree(90, 0, 'post oak'), tree(155, 0, 'post oak')];
    expect(numbers(...trees)).toEqual([2, 2, 2, 0]);
    expect(shares(...trees)).toEqual([2 / 3, 2 / 3, 2 / 4, 0]);
  });
  test('its own species and other sections do not count as others', () => {
    const trees = [
      white,
      tree(50, 0),
      tree(60, 0, 'black oak'),
      tree(70, 0, 'pin oak'),
      tree(900, 0, 'bur oak'),
    ];
    expect(numbers(...trees)).toEqual([0, 0, 1, 1, 0]);
    expect(shares(...trees)).toEqual([0, 0, 1 / 2, 1 / 2, 0]);
  });
  test('a hybrid counts by its other parent', () => {
    expect(numbers(white, tree(50, 0, 'Q. alba × macrocarpa'))[0]).toBe(1);
  });
  test('records of one species only: nobody looked, so not known', () => {
    expect(numbers(white, tree(50, 0))).toEqual([NaN, NaN]);
    expect(shares(white, tree(50, 0, 'red oak'))).toEqual([NaN, NaN]);
    expect(levels(white, tree(50, 0, 'Quercus cf. montana'))).toEqual([undefined, undefined]);
  });
  test('a repeated record counts once, and never beside the record that it repeats', () => {
    const trees = [white, tree(2, 0), tree(50, 0, 'bur oak'), tree(52, 0, 'bur oak')];
    expect(numbers(...trees)).toEqual([1, 1, 1, 1]);
    expect(shares(...trees)).toEqual([1 / 2, 1 / 2, 1 / 2, 1 / 2]);
  });
  test('nobody knows the species: nothing is known of its kin, though it may be kin to others', () => {
    const trees = [white, tree(40, 0, 'Quercus sp.'), tree(900, 0, 'bur oak')];
    expect(numbers(...trees)).toEqual([0, NaN, 0]);
    expect(levels(...trees)).toEqual(['low', undefined, 'none on record']);
  });
});

describe('doubt', () => {
  const of = (species: string, text: Short['text'] = {}): string[] =>
    doubts(make([tree(0, 0, species, text)]), 0);
  test('what makes an identification doubtful', () => {
    expect(of('Quercus alba')).toEqual([]);
    expect(of('Quercus alba', { keyUsed: '' })).toEqual([]);
    expect(of('Quercus cf. alba')).toEqual(['named with doubt']);
    expect(of('white oak?')).toEqual(['named with doubt']);
    expect(of('Quercus alba/montana')).toEqual(['named with doubt']);
    expect(of('red oak')).toEqual(['species not settled']);
    expect(of('Q. alba x montana')).toEqual(['recorded as a hybrid']);
    expect(of('Quercus alba', { keyUsed: 'not used' })).toEqual(['key not used']);
    expect(of('Quercus alba', { identifiedBy: '' })).toEqual(['nobody named who identified it']);
    expect(of('Quercus alba', { identifiedBy: '', keyUsed: 'no' })).toEqual([
      'nobody named who identified it',
    ]);
  });
  test('a qualifier leaves the species open, whatever the name says', () => {
    const c = make([tree(0, 0, 'Quercus alba', { qualifier: 'aff.' })]);
    const read = { ...c, species: Int16Array.of(-1) };
    expect(doubts(read, 0)).toEqual(['named with doubt']);
  });
  test('doubtful trees never enter the number, and raise the level by one step at most', () => {
    const far = tree(900, 0, 'bur oak');
    const crowd = Array.from({ length: 12 }, (_, k) => tree(10 + 6 * k, 0, 'Quercus alba/montana'));
    expect(numbers(white, far, ...crowd)[0]).toBe(0);
    expect(levels(white, far)[0]).toBe('none on record');
    expect(levels(white, far, ...crowd)[0]).toBe('low');
    expect(levels(white, far, tree(30, 0, 'Quercus alba', { identifiedBy: '' }))[0]).toBe('low');
    // The tree itself may be another species as well.
    expect(levels(tree(0, 0, 'Quercus alba', { keyUsed: 'no' }), far)[0]).toBe('low');
    // Doubt within another section says nothing.
    expect(levels(white, far, tree(30, 0, 'red oak'), tree(40, 0, 'Acer cf. rubrum'))[0]).toBe(
      'none on record',
    );
  });
});

describe('level', () => {
  const level = (count: number, nearest: number, share: number): string => {
    const tally = { count, nearest, share };
    return KIN_LEVELS[kinLevel(tally, tally)];
  };
  test('none is none, one far among many is low, one that touches alone is high', () => {
    expect(level(0, NaN, 0)).toBe('none on record');
    expect(level(1, 80, 0.05)).toBe('low');
    expect(level(1, 10, 0.05)).toBe('moderate');
    expect(level(4, 25, 0.2)).toBe('moderate');
    expect(level(1, 10, 0.5)).toBe('high');
    expect(level(12, 30, 0.3)).toBe('high');
  });
  test('more, nearer or a larger share never lowers it', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 20 }),
        fc.double({ min: 0, max: 120, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (count, nearest, share) => {
          const at = KIN_LEVELS.indexOf(level(count, nearest, share) as (typeof KIN_LEVELS)[number]);
          for (const other of [
            level(count + 1, nearest, share),
            level(count, nearest * 0.8, share),
            level(count, nearest, Math.min(1, share + 0.1)),
          ])
            expect(KIN_LEVELS.indexOf(other as (typeof KIN_LEVELS)[number])).toBeGreaterThanOrEqual(at);
        },
      ),
      { numRuns: 200, seed: 11 },
    );
  });
});

describe('the list of one tree', () => {
  test('nearest first, with what each is to the tree and what is doubtful', () => {
    const c = make([
      white,
      tree(60, 0, 'bur oak'),
      tree(0, 20),
      tree(0, 30, 'Q. alba x montana', { keyUsed: 'no' }),
      tree(40, 0, 'Quercus cf. alba'),
      tree(0, 45, 'black oak'),
      tree(0, 200, 'bur oak'),
    ]);
    const list = kinOf(c, 0, 100);
    expect(list.section).toBe('white');
    expect(list.doubts).toEqual([]);
    expect(
      list.trees.map((t) => [t.id, t.species, Math.round(t.metres), t.kinship, t.doubts.join(', ')]),
    ).toEqual([
      ['t2', 'Quercus alba', 20, 'own', ''],
      ['t3', 'Quercus alba × Q. montana', 30, 'other', 'recorded as a hybrid, key not used'],
      ['t4', 'Quercus cf. alba', 40, 'possible', 'named with doubt'],
      ['t1', 'Quercus macrocarpa', 60, 'other', ''],
    ]);
    expect(list.sure).toEqual({ count: 2, nearest: list.trees[1].metres, share: 2 / 4 });
  });
  test('a tree named with doubt is shown by the section of that name, its level not known', () => {
    const list = kinOf(make([tree(0, 0, 'Q. cf. montana'), tree(30, 0), tree(900, 0, 'bur oak')]), 0, 100);
    expect([list.section, list.level, list.trees.map((t) => t.kinship)]).toEqual(['white', NaN, ['other']]);
  });
  test('a tree of no known name has no list', () => {
    const list = kinOf(make([tree(0, 0, 'Quercus sp.'), tree(30, 0)]), 0, 100);
    expect([list.section, list.trees, list.level]).toEqual([null, [], NaN]);
  });

  const NAMES = [
    'Quercus alba',
    'bur oak',
    'Q. alba x montana',
    'Quercus rubra',
    'Quercus sp.',
    'Q. cf. alba',
  ];
  test('columns, list and a comparison of all pairs agree (property)', () => {
    const one = fc.record({
      x: fc.integer({ min: 0, max: 300 }),
      y: fc.integer({ min: 0, max: 300 }),
      name: fc.constantFrom(...NAMES),
      by: fc.constantFrom('', 'J. Placeholder'),
    });
    fc.assert(
      fc.property(fc.array(one, { minLength: 1, maxLength: 30 }), (trees) => {
        const c = make(trees.map((t) => tree(t.x, t.y, t.name, { identifiedBy: t.by })));
        const columns = kin(c, 100);
        const section = (s: number): string => OAKS[s]?.section ?? '';
        for (let i = 0; i < c.n; i++) {
          const near = (j: number): number => geodesicMetres(c.lon[i], c.lat[i], c.lon[j], c.lat[j]);
          // Where a distance meets the radius the last digit decides.
          if (trees.some((_, j) => Math.abs(near(j) - 100) < 0.05)) continue;
          const list = kinOf(c, i, 100);
          expect([columns.kin[i], columns.kinShare[i], columns.kinLevel[i]]).toEqual(
            Number.isNaN(list.level) ? [NaN, NaN, NaN] : [list.sure.count, list.sure.share, list.level],
          );
          if (Number.isNaN(columns.kin[i])) continue;
          const there = trees
            .map((_, j) => j)
            .filter((j) => j !== i && c.duplicateOf[j] < 0 && c.duplicateOf[i] !== j && near(j) <= 100);
          const isOther = (j: number): boolean =>
            [c.species[j], c.hybrid[j]].some(
              (s) => s >= 0 && s !== c.species[i] && section(s) === section(c.species[i]),
            );
          const named = there.filter((j) =>
            [c.species[j], c.hybrid[j]].some((s) => s >= 0 && section(s) === section(c.species[i])),
          );
          const others = there.filter(isOther).length;
          expect([columns.kin[i], columns.kinShare[i]]).toEqual([others, others / (named.length + 1)]);
        }
      }),
      { numRuns: 150, seed: 3 },
    );
  });
});
