import { expect, test } from 'vitest';
import { gapsFilled, repeatGroups } from '../../../src/domain/candidates/hand/repeats.ts';
import { at } from '../zones/grid.ts';
import { make, type Short } from './make.ts';

const tree = (x: number, y: number, more: Short = {}): Short => {
  const [lon, lat] = at(x, y);
  return { lon, lat, ...more };
};

test('records of one tree are a group with their distances; the one that holds most is proposed', () => {
  const c = make([
    tree(0, 0, { dbh: 60 }),
    tree(900, 0),
    tree(4, 0, { dbh: 62, text: { owner: 'A. Person', date: '2025-10-01' } }),
    tree(0, 3, { text: { date: '2024-10-01' } }),
  ]);
  const [group, ...more] = repeatGroups(c);
  expect(more).toEqual([]);
  expect(group.rows).toEqual([0, 2, 3]);
  expect(group.metres.map((m) => Math.round(m))).toEqual([0, 4, 3]);
  expect(group.best).toBe(2);
  // 2 cm more are a tree that has grown; two dates are two visits.
  expect(group.differ).toEqual(['lat', 'lon', 'date']);
  expect(group.clear).toBe(true);
});

test('what two visits cannot both be right about is not clear', () => {
  const [group] = repeatGroups(
    make([tree(0, 0, { text: { owner: 'A' } }), tree(1, 0, { text: { owner: 'B' } })]),
  );
  expect(group.differ).toContain('owner');
  expect(group.clear).toBe(false);
});

test('the better position decides between records that hold as much', () => {
  const [group] = repeatGroups(make([tree(0, 0, { accuracy: 12 }), tree(1, 0, { accuracy: 4 })]));
  expect(group.best).toBe(1);
});

test('gaps are filled from the others, the accuracy stays with its position', () => {
  const c = make([
    tree(0, 0, { text: { owner: 'A' } }),
    tree(1, 0, { accuracy: 4, dbh: 44, text: { owner: 'B', notes: 'n' } }),
  ]);
  expect(gapsFilled(c, 0, [0, 1])).toEqual({ dbh: '44', notes: 'n' });
});
