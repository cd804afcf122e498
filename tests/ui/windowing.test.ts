import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { found, ROW, scrollTo, sorted, widths, windowOf } from '../../src/ui/ledger/windowing.ts';

describe('the window of a long table', () => {
  it('holds every row that is in view, in a table as high as all rows, with few rows drawn', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 200_000 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.integer({ min: 1, max: 1200 }),
        (rows, at, height) => {
          const scrollTop = at * Math.max(0, rows * ROW - height);
          const w = windowOf(rows, ROW, scrollTop, height);
          expect(w.above + (w.end - w.first) * ROW + w.below).toBe(rows * ROW);
          expect(w.first * ROW).toBeLessThanOrEqual(scrollTop);
          expect(w.end * ROW).toBeGreaterThanOrEqual(Math.min(rows * ROW, scrollTop + height));
          expect(w.end - w.first).toBeLessThanOrEqual(Math.ceil(height / ROW) + 18);
        },
      ),
    );
  });
  it('draws nothing beyond the end when a filter has shortened the table under the scroll position', () => {
    const w = windowOf(5, ROW, 100_000, 300);
    expect(w.end).toBe(5);
    expect(w.above + (w.end - w.first) * ROW + w.below).toBe(5 * ROW);
  });
});

describe('bringing a row into view', () => {
  it('stays where it is when the row is in view, and otherwise moves by the least', () => {
    expect(scrollTo(5, ROW, 100, 300)).toBe(100);
    expect(scrollTo(1, ROW, 100, 300)).toBe(30);
    expect(scrollTo(20, ROW, 100, 300)).toBe(20 * ROW + ROW - 300);
  });
});

describe('filtering', () => {
  const names = ['Grey oak by the Ford', 'Tall oak', 'Ford road oak'];
  const owners = ['Quill', 'Ford estate', ''];
  const texts = [(r: number) => names[r], (r: number) => owners[r]];
  it('finds words in any column whatever their case, in the order of the rows', () => {
    expect(found([2, 1, 0], texts, 'ford')).toEqual([2, 1, 0]);
    expect(found([2, 1, 0], texts, 'quill')).toEqual([0]);
    expect(found([2, 1, 0], texts, 'nowhere')).toEqual([]);
  });
  it('keeps every row where nothing is asked', () => {
    expect(found([2, 1, 0], texts, '')).toEqual([2, 1, 0]);
  });
});

describe('widths of columns', () => {
  const column = (title: string, texts: readonly string[]) => ({ title, text: (r: number) => texts[r] });
  it('hold the longest text, or the title and the arrow of a sorted column', () => {
    const columns = [column('Id', ['T1', 'T100000', '']), column('Permission', ['granted', '', 'granted'])];
    expect(widths(columns, [0, 1, 2])).toEqual([7, 12]);
    expect(widths(columns, [])).toEqual([4, 12]);
  });
  it('give a line of text less than as many figures', () => {
    // 50 letters: 0.88 x 50 = 44; 40 letters: 35.2, rounded up.
    expect(widths([column('A', ['x'.repeat(50)]), column('B', ['x'.repeat(40)])], [0])).toEqual([44, 36]);
  });
  it('do not let one long note take the screen, and read few rows of a long table', () => {
    let read = 0;
    const counted = { title: 'Notes', text: () => (read++, 'x'.repeat(500)) };
    const rows = Array.from({ length: 200_000 }, (_, i) => i);
    expect(widths([counted], rows)).toEqual([44]);
    expect(read).toBeLessThanOrEqual(300);
  });
});

describe('sorting', () => {
  const values = [3, NaN, 1, 2];
  it('puts what is not known last, either way', () => {
    expect(sorted([0, 1, 2, 3], (r) => values[r], 'up')).toEqual([2, 3, 0, 1]);
    expect(sorted([0, 1, 2, 3], (r) => values[r], 'down')).toEqual([0, 3, 2, 1]);
  });
  it('keeps the order of equal rows, and reads numbers inside texts', () => {
    expect(sorted([2, 0, 1], () => 1, 'down')).toEqual([2, 0, 1]);
    const ids = ['T10', 'T9', '', 'T1'];
    expect(sorted([0, 1, 2, 3], (r) => ids[r], 'up')).toEqual([3, 1, 0, 2]);
  });
  it('leaves the given rows as they are', () => {
    const rows = [2, 1, 0];
    sorted(rows, (r) => r, 'up');
    expect(rows).toEqual([2, 1, 0]);
  });
});
