import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { RowReader } from '../../../src/io/read/tables/rowReader.ts';

function read(pieces: readonly string[], delimiter = ',', newline: '\n' | '\r' = '\n') {
  const rows: string[][] = [];
  const records: number[] = [];
  const quotes: string[] = [];
  const reader = new RowReader(
    { delimiter, newline, skip: 0 },
    {
      row(cells, record) {
        rows.push(cells);
        records.push(record);
      },
      quote: (record, what) => quotes.push(`${record}: ${what}`),
    },
  );
  let fits = true;
  pieces.forEach((piece, i) => {
    fits &&= reader.push(piece, i === pieces.length - 1);
  });
  return { rows, records, quotes, fits };
}

const cutAt = (text: string, cuts: readonly number[]): string[] => {
  const at = [...new Set(cuts.map((c) => c % (text.length + 1)))].sort((a, b) => a - b);
  return [0, ...at].map((from, i) => text.slice(from, at[i] ?? text.length));
};

describe('rows of a text in pieces', () => {
  test('are those of the whole, wherever it is cut, with any quoting (property, against Papa Parse)', () => {
    const cell = fc.string({ maxLength: 6, unit: fc.constantFrom('a', 'é', ',', '"', '\n', ' ', '1', '樫') });
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 12 }),
        fc.constantFrom('\n', '\r\n'),
        fc.boolean(),
        fc.array(fc.nat(), { maxLength: 6 }),
        (table, newline, quotes, cuts) => {
          // Line breaks within cells as they are between rows, as programs write them.
          const whole = Papa.unparse(
            table.map((row) => row.map((c) => c.replaceAll('\n', newline))),
            {
              newline,
              quotes,
            },
          );
          const expected = Papa.parse<string[]>(whole, { newline, delimiter: ',' }).data;
          const { rows, records, quotes: said } = read(cutAt(whole, cuts));
          expect(rows).toEqual(expected);
          expect(records).toEqual(expected.map((_, i) => i + 1));
          expect(said).toEqual([]);
        },
      ),
      { numRuns: 500, seed: 31 },
    );
  });

  test('do not depend on the pieces where quotation marks are wrong (property)', () => {
    const text = fc.string({ maxLength: 60, unit: fc.constantFrom('a', ',', '"', '\n', 'b') });
    fc.assert(
      fc.property(text, fc.array(fc.nat(), { maxLength: 5 }), (whole, cuts) => {
        const one = read([whole]);
        const { rows, quotes } = read(cutAt(whole, cuts));
        // Nothing is lost and nothing is made up, wherever it is cut.
        const letters = (r: readonly string[][]) => r.flat().join('').replace(/[^ab]/g, '');
        expect(letters(rows)).toBe(whole.replace(/[^ab]/g, ''));
        expect(letters(one.rows)).toBe(whole.replace(/[^ab]/g, ''));
        expect(quotes.length > 0 || !whole.includes('"') || one.quotes.length === 0 || rows.length > 0).toBe(
          true,
        );
      }),
      { numRuns: 1000, seed: 32 },
    );
  });

  test('a quotation mark that is never closed costs its own row, not the rest', () => {
    const lines = Array.from({ length: 5_000 }, (_, i) => `${i},${i === 1234 ? '"open' : 'x'},y`);
    const { rows, quotes } = read([lines.join('\n') + '\n']);
    expect(rows.filter((r) => r.length === 3)).toHaveLength(5_000);
    expect(rows[1234]).toEqual(['1234', '"open', 'y']);
    expect(rows[4999]).toEqual(['4999', 'x', 'y']);
    expect(quotes).toEqual([expect.stringMatching(/^1235: has a quotation mark that is not closed/)]);
  });

  test('nor does one that a later, proper one seems to close', () => {
    const lines = ['1,"5 in,x', '2,"good",y', '3,"also, good",z', '4,w,v'];
    const { rows } = read([lines.join('\n')]);
    expect(rows).toEqual([
      ['1', '"5 in', 'x'],
      ['2', 'good', 'y'],
      ['3', 'also, good', 'z'],
      ['4', 'w', 'v'],
    ]);
  });

  test('a hundred thousand bad marks are bounded, in time and in notes', () => {
    const lines = Array.from({ length: 100_000 }, (_, i) => `${i},"bad ${i},y`);
    const { rows, quotes } = read([lines.join('\n')]);
    expect(rows).toHaveLength(100_000);
    expect(rows[99_999]).toEqual(['99999', '"bad 99999', 'y']);
    expect(quotes.length).toBeLessThanOrEqual(1_001);
  });

  test('marks within a quoted cell of one line are kept, and it is said', () => {
    const { rows, quotes } = read(['1,"the "old" tree",x\n2,a,b\n']);
    expect(rows[0]).toEqual(['1', 'the "old" tree', 'x']);
    expect(rows[1]).toEqual(['2', 'a', 'b']);
    expect(quotes).toEqual([expect.stringMatching(/^1: has quotation marks within a quoted cell/)]);
  });

  test('a cell of very many lines that closes well is kept, and it is said', () => {
    const { rows, quotes } = read([`1,"${'line\n'.repeat(80)}",x\n2,a,b`]);
    expect(rows.map((r) => r.length)).toEqual([3, 3]);
    expect(quotes).toEqual([expect.stringMatching(/^1: has a cell of 81 lines/)]);
  });

  test('a text without line breaks ends the reading', () => {
    const piece = 'x'.repeat(4_000_000);
    expect(read(Array.from({ length: 12 }, () => piece)).fits).toBe(false);
    // A long row is none the less a row.
    expect(read([`a,"${piece}"\nb,c\n`]).rows[0][1]).toHaveLength(4_000_000);
  });
});
