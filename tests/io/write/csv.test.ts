import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { csv } from '../../../src/io/write/csv.ts';

describe('a table written as CSV', () => {
  it('keeps to RFC 4180: CRLF after every line, quotes only where needed and doubled', () => {
    expect(
      csv(
        ['id', 'note'],
        [
          ['a', 'plain'],
          ['b', 'one, two'],
          ['c', 'said "oak"'],
          ['d', 'two\nlines'],
        ],
      ),
    ).toBe('id,note\r\na,plain\r\nb,"one, two"\r\nc,"said ""oak"""\r\nd,"two\nlines"\r\n');
  });

  it('writes numbers plain, negative ones too, and leaves what is not known empty', () => {
    expect(csv(['x'], [[-12.5], [0], [1e-7], [NaN], [Infinity], [null], [true]])).toBe(
      'x\r\n-12.5\r\n0\r\n1e-7\r\n\r\n\r\n\r\ntrue\r\n',
    );
  });

  // OWASP, CSV injection: = + - @, tab, carriage return, line feed; the wide forms of the four signs from memory.
  it('takes the power from texts that a spreadsheet would run', () => {
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\tx', '＝1', '＋1', '－1', '＠a'])
      expect(csv(['x'], [[text]])).toBe(`x\r\n'${text}\r\n`);
    expect(csv(['x'], [['=HYPERLINK("http://a","b")']])).toBe(`x\r\n"'=HYPERLINK(""http://a"",""b"")"\r\n`);
    expect(csv(['x'], [['\rx'], ['\nx']])).toBe('x\r\n"\'\rx"\r\n"\'\nx"\r\n');
    expect(csv(['=bad'], [])).toBe("'=bad\r\n");
  });

  it('leaves texts alone that only hold such a sign further on', () => {
    expect(csv(['x'], [['Q. alba-macrocarpa'], ['a@b'], ['2-1']])).toBe(
      'x\r\nQ. alba-macrocarpa\r\na@b\r\n2-1\r\n',
    );
  });

  it('is read back as it was by another reader, apart from the apostrophe', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.string({ unit: 'grapheme' }), fc.string()), { minLength: 1, maxLength: 8 }),
        (rows) => {
          const written = csv(['a', 'b'], rows);
          const back = Papa.parse<string[]>(written, { delimiter: ',', newline: '\r\n' }).data.slice(1, -1);
          const safe = (s: string): string => (/^[=+\-@\t\r\n＝＋－＠]/.test(s) ? `'${s}` : s);
          expect(back).toEqual(rows.map((r) => r.map(safe)));
        },
      ),
      { seed: 4180, numRuns: 300 },
    );
  });
});
