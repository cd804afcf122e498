/** Tables written by other programs (tests/fixtures/tables), and tables that mean harm. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Failure } from '../../../src/domain/base/result.ts';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { Cancelled } from '../../../src/domain/base/work.ts';
import { openSource } from '../../../src/io/read/formats.ts';
import type { ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text);

interface Seen {
  readonly failure: Failure | null;
  readonly columns: readonly string[];
  readonly rows: readonly string[][];
  readonly lines: readonly number[];
  readonly notes: readonly string[];
}

async function open(
  bytes: Uint8Array | string,
  name = 'trees.csv',
  options: ReadOptions = {},
): Promise<Seen> {
  const opened = await openSource(
    memorySource(name, typeof bytes === 'string' ? utf8(bytes) : bytes),
    options,
  );
  if (!opened.ok) return { failure: opened.failure, columns: [], rows: [], notes: [], lines: [] };
  const { content, notes } = opened.value;
  if (content.kind !== 'table') throw new Error('a table was expected');
  const { table } = content;
  return {
    failure: null,
    columns: table.columns,
    rows: rowsOf(table),
    lines: Array.from({ length: table.n }, (_, i) => table.line(i)),
    notes: notes.map((n) => `${n.where}: ${n.what}`),
  };
}
const fixture = (name: string) => open(readFileSync(`tests/fixtures/tables/${name}`), name);

describe('written by Python', () => {
  const columns = ['Nr', 'Länge', 'Breite', 'BHD'];
  const first = ['1', '-84,5037', '38,0402', '61,5'];
  test.each([
    ['semicolon-utf16le-bom.csv', []],
    ['semicolon-utf16be-bom.csv', []],
    ['semicolon-windows-1252.csv', [/Windows-1252/]],
  ] as const)('%s: title lines are skipped with a note, rows keep their numbers', async (name, more) => {
    const { columns: found, rows, notes, lines } = await fixture(name);
    expect(found).toEqual(columns);
    expect(rows[0]).toEqual(first);
    expect(rows).toHaveLength(3);
    expect(lines).toEqual([4, 5, 6]);
    expect(notes).toEqual([
      ...more.map((m) => expect.stringMatching(m) as string),
      `${name}: the header was found in row 3; what stands above it ("Baumliste" ...) was skipped`,
    ]);
  });

  test('tab-utf16le-nobom.txt: UTF-16 is known without its mark', async () => {
    const { columns: found, rows, notes } = await fixture('tab-utf16le-nobom.txt');
    expect(found).toEqual(columns);
    expect(rows[0]).toEqual(first);
    expect(notes).toEqual([]);
  });
});

describe('written by GDAL', () => {
  test.each([['points-xy.csv'], ['points-wkt.csv'], ['points-utm.csv']])('%s', async (name) => {
    const { columns, rows, notes } = await fixture(name);
    expect(notes).toEqual([]);
    expect(rows).toHaveLength(3);
    const at = (column: string, row: number): string => rows[row][columns.indexOf(column)];
    expect(at('notes', 0)).toBe('by the "old" wall, east\nof it');
    expect(at('notes', 1)).toBe('Chêne; très gros');
    expect(at('species', 2)).toBe('Quercus ×bebbiana');
  });
});

describe('headers', () => {
  test('repeated names are told apart with a note', async () => {
    const { columns, notes } = await open('lat,lon,lat,,lat (2)\n1,2,3,4,5\n');
    expect(columns).toEqual(['lat', 'lon', 'lat (3)', 'column 4', 'lat (2)']);
    expect(notes).toEqual(['trees.csv: has columns of the same name; the later ones are called "lat (3)"']);
  });

  test.each([
    ['Oak survey 2024\n\nid,lon,lat\na,-85,38\n', 3, 4],
    ['Oak survey,,\nid,lon,lat\na,-85,38\n', 2, 3],
    ['# made by hand, in 2024\nid,lon,lat\na,-85,38\n', 2, 3],
  ])('what stands above is skipped: %j', async (text, header, line) => {
    const { columns, rows, notes, lines } = await open(text);
    expect(columns).toEqual(['id', 'lon', 'lat']);
    expect([rows, lines]).toEqual([[['a', '-85', '38']], [line]]);
    expect(notes).toEqual([expect.stringContaining(`the header was found in row ${header}`)]);
  });

  test('a table without a header is no silent loss of its first row', async () => {
    const { columns, notes } = await open('1,-84.5,38.1\n2,-84.6,38.2\n');
    expect(columns).toEqual(['1', '-84.5', '38.1']);
    expect(notes).toEqual([
      'trees.csv: has numbers where the names of its columns should be ("1", "-84.5", "38.1"); if that is a row of the table, put a row of names above it',
    ]);
  });

  test('a name of two lines stands on one', async () => {
    expect((await open('id,"latitude\n(deg)"\n1,2\n')).columns).toEqual(['id', 'latitude (deg)']);
  });

  test('a narrow header above wider rows is no title', async () => {
    expect((await open('id\nA,1\nB,2\n')).columns).toEqual(['id']);
  });

  test('the line "sep=;" says the delimiter and is no row', async () => {
    const { columns, rows, lines } = await open('sep=;\r\nid;x,y\r\n1;2,5\r\n');
    expect(columns).toEqual(['id', 'x,y']);
    expect([rows, lines]).toEqual([[['1', '2,5']], [3]]);
  });

  test('fifty empty lines and more come before the header', async () => {
    expect((await open('\n'.repeat(120) + 'id,lat\n1,2\n')).columns).toEqual(['id', 'lat']);
  });
});

describe('cells', () => {
  test('formulas stay text, and so do numbers, dates and codes', async () => {
    const row = ['=1+1', '+1', '-1', '@SUM(A1)', '007', '1e5', '2024-01-02', 'TRUE'];
    expect((await open(`a,b,c,d,e,f,g,h\n${row.join(',')}\n`)).rows).toEqual([row]);
  });

  test('a few damaged letters do not turn all others wrong', async () => {
    const good = 'id,name\n1,Chêne à gros fruits\n2,Érable\n';
    const bytes = Uint8Array.from([...utf8(good), ...utf8('3,Ch'), 0xea, ...utf8('ne\n')]);
    const { rows, notes } = await open(bytes);
    expect(rows).toEqual([
      ['1', 'Chêne à gros fruits'],
      ['2', 'Érable'],
      ['3', 'Ch\ufffdne'],
    ]);
    expect(notes).toEqual([expect.stringMatching(/not in UTF-8 as the others are/)]);
  });

  test('letters that slices of the file cut in two are whole', async () => {
    // Four-byte letters across the end of the first slice of 4 MiB.
    const line = `${'樫𠮷'.repeat(20)},x\n`;
    const n = Math.ceil(4_300_000 / utf8(line).length);
    const { rows } = await open(`a,b\n${line.repeat(n)}`);
    expect(rows).toHaveLength(n);
    expect(new Set(rows.map((r) => r[0])).size).toBe(1);
  });
});

describe('harmful tables end in one sentence or are read with a note', () => {
  test('binary zeros anywhere', async () => {
    expect((await open(`id,x\n${'a,b\n'.repeat(300_000)}\0,c\n`)).failure).toMatchObject({
      code: 'format',
      what: expect.stringMatching(/binary zeros/) as string,
    });
  });
  test('a hundred thousand columns', async () => {
    const { failure } = await open(Array.from({ length: 100_000 }, (_, i) => `c${i}`).join(',') + '\n1,2\n');
    expect(failure?.what).toMatch(/has 100000 columns/);
  });
  test('many columns are read', async () => {
    expect(
      (await open(Array.from({ length: 10_000 }, (_, i) => `c${i}`).join(',') + '\n1,2\n')).rows[0],
    ).toHaveLength(10_000);
  });
  test('one line without end', async () => {
    const { failure } = await open('x'.repeat(40_000_000));
    expect(failure?.what).toMatch(/a row of more than 32 million characters/);
  });
  test('a quotation mark that is not closed among 200,000 rows', async () => {
    const lines = Array.from({ length: 200_000 }, (_, i) => (i === 99_999 ? `${i},"open` : `${i},x`));
    const { rows, notes } = await open(`id,what\n${lines.join('\n')}\n`);
    expect(rows).toHaveLength(200_000);
    expect(notes).toEqual([
      'trees.csv, row 100001: has a quotation mark that is not closed; the row was read as it stands, up to the end of its line',
    ]);
  });
  test('any bytes at all: a table or one Failure (property)', async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ minLength: 1, maxLength: 300 }), async (bytes) => {
        const { failure, rows, columns } = await open(bytes);
        if (failure) expect(failure.what + failure.todo).not.toBe('');
        else for (const row of rows) expect(row).toHaveLength(columns.length);
      }),
      { numRuns: 500, seed: 41 },
    );
  });
  test('reading is told and can be stopped', async () => {
    const text = `a,b\n${'1234567,7654321\n'.repeat(600_000)}`;
    const told: number[] = [];
    const work = {
      progress: (done: number, total: number) => void told.push(done / total),
      pause: () => (told.length >= 2 ? Promise.reject(new Cancelled()) : Promise.resolve()),
    };
    await expect(open(text, 'trees.csv', { work })).rejects.toThrow(Cancelled);
    expect(told[0]).toBeGreaterThan(0);
    expect(told[0]).toBeLessThan(1);
  });
});
