import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { rowsOf, tableOf } from '../../../src/domain/base/table.ts';
import { TableStore } from '../../../src/domain/base/tableStore.ts';

describe('a table kept column by column', () => {
  test('holds what was put in, whatever the characters (property)', () => {
    const cell = fc.oneof(
      fc.constant(''),
      fc.string({ unit: 'binary', maxLength: 6 }),
      fc.string({ maxLength: 20 }),
    );
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4 }),
        fc.array(fc.array(cell, { minLength: 4, maxLength: 4 }), { maxLength: 40 }),
        (width, rows) => {
          const columns = Array.from({ length: width }, (_, i) => `c${i}`);
          const store = new TableStore(columns);
          rows.forEach((row, i) => store.add(row.slice(0, width), 2 * i + 2));
          const table = store.table();
          expect(rowsOf(table)).toEqual(rowsOf(tableOf(columns, rows)));
          expect(Array.from(rows, (_, i) => table.line(i))).toEqual(rows.map((_, i) => 2 * i + 2));
        },
      ),
      { numRuns: 200, seed: 21 },
    );
  });

  test('of many blocks is found in any order', () => {
    const n = 30_000;
    const store = new TableStore(['a', 'b']);
    for (let i = 0; i < n; i++) store.add([`x${i}`, i % 3 === 0 ? '' : `y${i}`], i + 2);
    const table = store.table();
    expect(table.n).toBe(n);
    for (let k = 0; k < 2_000; k++) {
      const i = (k * 7919) % n;
      expect([table.cell(i, 0), table.cell(i, 1), table.line(i)]).toEqual([
        `x${i}`,
        i % 3 === 0 ? '' : `y${i}`,
        i + 2,
      ]);
    }
  });

  test('has nothing outside', () => {
    const store = new TableStore(['a']);
    store.add(['x'], 2);
    const table = store.table();
    expect([table.cell(-1, 0), table.cell(1, 0), table.cell(0, 1), table.cell(0, -1)]).toEqual([
      '',
      '',
      '',
      '',
    ]);
    expect(new TableStore(['a']).table().n).toBe(0);
  });
});
