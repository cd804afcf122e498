import { describe, expect, it } from 'vitest';
import { insetFrame, insetPath } from '../../src/ui/parts/inset.ts';
import { choose, GUESS, NONE, valueOf } from '../../src/ui/stages/layers/columnChoice.ts';

describe('choosing columns', () => {
  it('takes a column from the field that had it by hand', () => {
    expect(choose({ lon: 'X', id: 'Tag' }, 'easting', 'X')).toEqual({ id: 'Tag', easting: 'X' });
  });

  it('goes back to the guess, or says that no column holds it', () => {
    expect(choose({ lon: 'X' }, 'lon', GUESS)).toEqual({});
    expect(choose({}, 'dbh', NONE)).toEqual({ dbh: '' });
    expect(valueOf('dbh', { dbh: '' })).toBe(NONE);
    expect(valueOf('dbh', {})).toBe(GUESS);
    expect(valueOf('dbh', { dbh: 'D' })).toBe('D');
  });

  it('leaves fields that were said to be in no column as they are', () => {
    expect(choose({ dbh: '' }, 'form', NONE)).toEqual({ dbh: '', form: '' });
  });
});

describe('the small outline map', () => {
  it('puts a box of the region into the frame, north up', () => {
    const frame = insetFrame([[-83, 38, -82, 39]], 120, 84, false);
    const [x, y] = frame.at(-83, 39);
    const [right, foot] = frame.at(-82, 38);
    expect(x).toBeGreaterThan(0);
    expect(y).toBeGreaterThan(0);
    expect(right).toBeGreaterThan(x);
    expect(foot).toBeGreaterThan(y);
    expect(right).toBeLessThan(120);
    expect(foot).toBeLessThan(84);
  });

  it('reaches as far as a box that lies elsewhere', () => {
    const [x, y] = insetFrame([[5, 50, 6, 51]], 120, 84, false).at(6, 51);
    expect(x).toBeLessThan(120);
    expect(y).toBeGreaterThan(0);
  });

  it('draws lines that come into the frame, and no other', () => {
    const frame = insetFrame([[-83, 38, -82, 39]], 120, 84, true);
    const crossing = [
      [-84, 38.5],
      [-82.5, 38.5],
      [-81, 38.5],
    ] as const;
    const far = [
      [10, 10],
      [11, 11],
    ] as const;
    expect(insetPath([far], frame)).toBe('');
    expect(insetPath([crossing], frame)).toMatch(/^M[-\d.]+ [\d.]+L[\d.]+ [\d.]+L[\d.]+ [\d.]+$/);
  });
});
