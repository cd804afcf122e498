/** Copied cells, against Papa Parse (an independent reader of delimited text). */
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { cellsOf, textOf } from '../../../src/domain/candidates/hand/clipboard.ts';

describe('copied cells', () => {
  test('are read with either line break, and without the last one', () => {
    expect(cellsOf('a\tb\r\nc\t\r\n')).toEqual([
      ['a', 'b'],
      ['c', ''],
    ]);
    expect(cellsOf('a\tb\nc')).toEqual([['a', 'b'], ['c']]);
    expect(cellsOf('a\t')).toEqual([['a', '']]);
    expect(cellsOf('')).toEqual([]);
  });

  test('keep line breaks, tabs and quotes inside quotes, and a lone quote as text', () => {
    expect(cellsOf('"two\nlines"\t"say ""oak"""\n24" wide\t"24" wide')).toEqual([
      ['two\nlines', 'say "oak"'],
      ['24" wide', '"24" wide'],
    ]);
  });

  const cell = fc.oneof(
    fc.string({ maxLength: 8 }),
    fc.constantFrom('a\tb', 'a\nb', '"', '""', '24"', '', ' x '),
  );
  const rows = fc.array(fc.array(cell, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 5 });
  test('read back what was written, as Papa Parse reads it too (property)', () => {
    fc.assert(
      fc.property(rows, (given) => {
        const plain = given.map((r) => r.map((c) => c.replace(/\r/g, '')));
        fc.pre(plain.some((r) => r.length > 1 || r[0] !== '') && plain[plain.length - 1].join('') !== '');
        const text = textOf(plain);
        expect(cellsOf(text)).toEqual(plain);
        const theirs = Papa.parse<string[]>(text, { delimiter: '\t', newline: '\r\n' }).data;
        expect(theirs).toEqual(plain);
      }),
      { numRuns: 500, seed: 17 },
    );
  });

  test('of a spreadsheet (written by Papa Parse) are read as they were (property)', () => {
    fc.assert(
      fc.property(rows, (given) => {
        const plain = given.map((r) => r.map((c) => c.replace(/\r/g, '')));
        fc.pre(plain[plain.length - 1].join('') !== '');
        expect(cellsOf(Papa.unparse(plain, { delimiter: '\t' }) + '\r\n')).toEqual(plain);
      }),
      { numRuns: 500, seed: 18 },
    );
  });
});
