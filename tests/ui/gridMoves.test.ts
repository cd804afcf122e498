import { describe, expect, test } from 'vitest';
import { rangeOf, step } from '../../src/ui/ledger/gridMoves.ts';

const table = { rows: 10, columns: 5, page: 4 };
const go = (key: string, r: number, c: number, held: { ctrl?: boolean; shift?: boolean } = {}) =>
  step({ key, ctrlKey: held.ctrl ?? false, metaKey: false, shiftKey: held.shift ?? false }, { r, c }, table);

describe('keys in a table of cells', () => {
  test('arrows go by one and stop at the edge, with Ctrl to the edge', () => {
    expect(go('ArrowDown', 3, 2)).toEqual({ r: 4, c: 2 });
    expect(go('ArrowDown', 9, 2)).toEqual({ r: 9, c: 2 });
    expect(go('ArrowLeft', 3, 0)).toEqual({ r: 3, c: 0 });
    expect(go('ArrowRight', 3, 1, { ctrl: true })).toEqual({ r: 3, c: 4 });
    expect(go('ArrowUp', 7, 1, { ctrl: true })).toEqual({ r: 0, c: 1 });
  });
  test('Home, End and pages', () => {
    expect(go('Home', 3, 2)).toEqual({ r: 3, c: 0 });
    expect(go('End', 3, 2, { ctrl: true })).toEqual({ r: 9, c: 4 });
    expect(go('PageDown', 7, 2)).toEqual({ r: 9, c: 2 });
    expect(go('PageUp', 7, 2)).toEqual({ r: 3, c: 2 });
  });
  test('Tab leaves the table at the end of a row, so that nobody is kept in it', () => {
    expect(go('Tab', 3, 4)).toEqual({ r: 3, c: 5 });
    expect(go('Tab', 3, 0, { shift: true })).toEqual({ r: 3, c: -1 });
  });
  test('other keys move nothing', () => {
    expect(go('a', 3, 4)).toBeNull();
    expect(go('Enter', 3, 4)).toBeNull();
  });
  test('a range is the same from either corner', () => {
    expect(rangeOf({ r: 4, c: 1 }, { r: 2, c: 3 })).toEqual(rangeOf({ r: 2, c: 3 }, { r: 4, c: 1 }));
    expect(rangeOf({ r: 4, c: 1 }, { r: 2, c: 3 })).toEqual({ r0: 2, r1: 4, c0: 1, c1: 3 });
  });
});
