import { describe, expect, it } from 'vitest';
import type { Failure, Note } from '../../../src/domain/base/result.ts';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const utf8 = (text: string) => new TextEncoder().encode(text);

async function read(
  bytes: Uint8Array | string,
  name = 'trees.csv',
): Promise<{ columns: readonly string[]; rows: readonly (readonly string[])[]; notes: readonly Note[] }> {
  const opened = await openSource(memorySource(name, typeof bytes === 'string' ? utf8(bytes) : bytes));
  if (!opened.ok) throw new Error(opened.failure.what);
  const { content, notes, count } = opened.value;
  if (content.kind !== 'table') throw new Error('a table was expected');
  expect(count).toBe(content.table.n);
  return { columns: content.table.columns, rows: rowsOf(content.table), notes };
}

async function failureOf(bytes: Uint8Array | string, name = 'trees.csv'): Promise<Failure> {
  const opened = await openSource(memorySource(name, typeof bytes === 'string' ? utf8(bytes) : bytes));
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

const COLUMNS = ['id', 'species', 'lon', 'lat'];
const ROW = ['007', 'Quercus alba', '-82.5', '39.25'];

describe('a table', () => {
  it.each([
    ['commas', ','],
    ['semicolons', ';'],
    ['tabs', '\t'],
    ['bars', '|'],
  ])('is read with %s between its cells, which stay as written', async (_, d) => {
    const { columns, rows, notes } = await read(`${COLUMNS.join(d)}\n${ROW.join(d)}\n${ROW.join(d)}\n`);
    expect(columns).toEqual(COLUMNS);
    expect(rows).toEqual([ROW, ROW]);
    expect(notes).toEqual([]);
  });

  it('may have semicolons and decimal commas', async () => {
    expect((await read('id;lon;lat\n1;-82,5;39,25\n')).rows).toEqual([['1', '-82,5', '39,25']]);
  });

  it.each(['\n', '\r\n', '\r'])('may end its lines with %j', async (end) => {
    expect((await read(['a,b', '1,2', '3,4', ''].join(end))).rows).toEqual([
      ['1', '2'],
      ['3', '4'],
    ]);
  });

  // RFC 4180, section 2, rules 5 to 7.
  it('may quote cells with delimiters, line breaks and quotation marks in them', async () => {
    const { rows, notes } = await read('id,notes\r\n1,"by the ""old"" wall, east\r\nof it"\r\n2,plain\r\n');
    expect(rows).toEqual([
      ['1', 'by the "old" wall, east\r\nof it'],
      ['2', 'plain'],
    ]);
    expect(notes).toEqual([]);
  });

  it('loses empty lines and spaces around the names of columns, and names columns without one', async () => {
    const { columns, rows } = await read('\n id , ,lat\n\n1,x,2\n , ,\n3,y,4\n');
    expect(columns).toEqual(['id', 'column 2', 'lat']);
    expect(rows).toEqual([
      ['1', 'x', '2'],
      ['3', 'y', '4'],
    ]);
  });

  it('may have a header only, or one column', async () => {
    expect(await read('id,lon,lat\n')).toMatchObject({ columns: ['id', 'lon', 'lat'], rows: [] });
    expect(await read('id\nA\nB\n')).toMatchObject({ columns: ['id'], rows: [['A'], ['B']] });
  });

  it('has a note for each of the first five rows with too few or too many cells, and one for the rest', async () => {
    const ragged = ['a,b,c', '1,2,3', '1,2', '1,2,3,4', '1', '1,2', '1,2', '1,2', '1,2', '5,6,7'].join('\n');
    const { rows, notes } = await read(ragged);
    expect(rows[1]).toEqual(['1', '2', '']);
    expect(rows[2]).toEqual(['1', '2', '3']);
    expect(rows.every((r) => r.length === 3)).toBe(true);
    expect(notes.map((n) => `${n.where}: ${n.what}`)).toEqual([
      'trees.csv, row 3: has 2 cells where the header has 3',
      'trees.csv, row 4: has 4 cells where the header has 3',
      'trees.csv, row 5: has 1 cells where the header has 3',
      'trees.csv, row 6: has 2 cells where the header has 3',
      'trees.csv, row 7: has 2 cells where the header has 3',
      'trees.csv: has 2 more rows with too few or too many cells',
    ]);
  });

  it('has a note where a quotation mark is not closed', async () => {
    const { notes } = await read('id,notes\n1,"open\n2,x\n');
    expect(notes.some((n) => /quotation mark that is not closed/.test(n.what))).toBe(true);
  });
});

describe('the characters of a table', () => {
  const TEXT = 'id,name\n1,Chêne à gros fruits\n';
  const utf16 = (text: string, little: boolean, mark: boolean): Uint8Array => {
    const units = [...(mark ? '\ufeff' : ''), ...text].map((c) => c.charCodeAt(0));
    return Uint8Array.from(units.flatMap((u) => (little ? [u & 255, u >> 8] : [u >> 8, u & 255])));
  };
  it.each([
    ['UTF-8', utf8(TEXT)],
    ['UTF-8 with a byte-order mark', utf8('\ufeff' + TEXT)],
    ['UTF-16, low byte first', utf16(TEXT, true, true)],
    ['UTF-16, high byte first', utf16(TEXT, false, true)],
  ])('are read as %s', async (_, bytes) => {
    const { columns, rows, notes } = await read(bytes);
    expect(columns).toEqual(['id', 'name']);
    expect(rows).toEqual([['1', 'Chêne à gros fruits']]);
    expect(notes).toEqual([]);
  });

  it('are read as Windows-1252 where they are not UTF-8, with a note', async () => {
    // 0xea is e with circumflex, 0xe0 a with grave; 0x93 and 0x94 are curly quotation marks in Windows-1252 only.
    const bytes = Uint8Array.from(
      [...'id,name\n1,Ch\xeane \xe0 gros fruits \x93x\x94\n'].map((c) => c.charCodeAt(0)),
    );
    const { rows, notes } = await read(bytes);
    expect(rows).toEqual([['1', 'Chêne à gros fruits “x”']]);
    expect(notes).toEqual([{ where: 'trees.csv', what: expect.stringMatching(/Windows-1252/) as string }]);
  });
});

describe('what is no table', () => {
  const page = '<!DOCTYPE html>\n<html><body><h1>Not found</h1>, sorry</body></html>';
  it.each([
    ['an empty file', new Uint8Array(0), 'content', /is empty/],
    ['blank lines', utf8('\n \n\n'), 'content', /is an empty table/],
    ['a header of commas', utf8(',,,\n'), 'content', /is an empty table/],
    ['binary zeros', Uint8Array.of(0x69, 0x64, 0, 1, 2), 'format', /not what its name says/],
    [
      'binary zeros after the first bytes',
      utf8('id,x\n' + 'a,b\n'.repeat(200) + '\0'),
      'format',
      /binary zeros/,
    ],
    ['a web page', utf8(page), 'format', /is a web page/],
    ['a web page after a byte-order mark', utf8('\ufeff\n' + page), 'format', /is a web page/],
  ] as const)('%s: one Failure', async (_, bytes, code, what) => {
    const failure = await failureOf(bytes);
    expect(failure).toMatchObject({ code, where: 'trees.csv' });
    expect(failure.what).toMatch(what);
    expect(failure.todo).not.toBe('');
  });
});
