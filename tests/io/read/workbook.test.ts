import { zipSync, strToU8, unzipSync } from 'fflate';
import { readFileSync } from 'node:fs';
import { readSheet as otherReader } from 'read-excel-file/universal';
import { describe, expect, it } from 'vitest';
import { rowsOf } from '../../../src/domain/base/table.ts';
import { workbook } from '../../../src/io/read/tables/workbook.ts';
import type { Opened, ReadOptions } from '../../../src/io/read/types.ts';
import { memorySource } from '../../../src/io/source/memory.ts';

const fixture = (name: string): Uint8Array =>
  new Uint8Array(readFileSync(new URL(`../../fixtures/workbooks/${name}`, import.meta.url)));

const attempt = (bytes: Uint8Array, options: ReadOptions = {}, name = 'oaks.xlsx') =>
  workbook.read(memorySource(name, bytes), options);

async function read(bytes: Uint8Array, options: ReadOptions = {}): Promise<Opened> {
  const opened = await attempt(bytes, options);
  if (!opened.ok) throw new Error(`${opened.failure.where} ${opened.failure.what}`);
  return opened.value;
}

async function failureOf(bytes: Uint8Array, options: ReadOptions = {}) {
  const opened = await attempt(bytes, options);
  if (opened.ok) throw new Error('a failure was expected');
  return opened.failure;
}

function tableIn({ content }: Opened) {
  if (content.kind !== 'table') throw new Error('a table was expected');
  return content.table;
}
const notes = (opened: Opened): string => opened.notes.map((n) => `${n.where}: ${n.what}`).join('\n');

/** A workbook of one sheet, its XML by hand. */
function byHand(sheet: string, more: Readonly<Record<string, string>> = {}): Uint8Array {
  const rel = (id: string, type: string, target: string) =>
    `<Relationship Id="${id}" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/${type}" Target="${target}"/>`;
  const files: Record<string, string> = {
    '[Content_Types].xml': '<Types/>',
    '_rels/.rels': `<Relationships>${rel('a', 'officeDocument', 'xl/workbook.xml')}</Relationships>`,
    'xl/workbook.xml':
      '<workbook xmlns:r="x"><sheets><sheet name="S" sheetId="1" r:id="b"/></sheets></workbook>',
    'xl/_rels/workbook.xml.rels': `<Relationships>${rel('b', 'worksheet', '/xl/s.xml')}${rel('c', 'styles', 'st.xml')}</Relationships>`,
    'xl/s.xml': `<worksheet>${sheet}</worksheet>`,
    ...more,
  };
  return zipSync(Object.fromEntries(Object.entries(files).map(([path, text]) => [path, strToU8(text)])));
}

describe('a workbook as openpyxl 3.0 writes it', () => {
  it('gives the first sheet with content: header, cells as text, rows by the number that the spreadsheet shows', async () => {
    const opened = await read(fixture('openpyxl-trees.xlsx'));
    expect(opened).toMatchObject({
      format: 'XLSX',
      part: 'Trees',
      count: 4,
      crs: null,
      extent: null,
      parts: [
        { name: 'Notes', kind: 'table', count: null },
        { name: 'Trees', kind: 'table', count: 4 },
        { name: 'Lists', kind: 'table', count: null },
      ],
    });
    const table = tableIn(opened);
    expect(table.columns).toEqual(['tag', 'species', 'lon', 'lat', 'dbh', 'seen', 'logged', 'at', 'for', 'fenced', 'total', 'share']); // prettier-ignore
    expect(rowsOf(table)).toEqual([
      ['007', 'Quercus alba', '-82.1034', '39.3321', '64.5', '2026-02-14', '2026-02-14T10:22:05', '06:05:00', '30:01:00', 'TRUE', '', '0.1'],
      ['A-2', 'Quercus rubra ×', '-82.11', '39.3277', '1e-7', '0', '2026-02-14T00:00:00', '23:59:59', '00:00:01', 'FALSE', '', '0.3333333333333333'],
      ['A-3', ' two\nlines ', '-82.12', '39.31', '12345678901234570000', '', '', '', '', '', '', '0.5'],
      ['A-4', '', '', '', '', '', '', '', '', '', '', ''],
    ]); // prettier-ignore
    expect([0, 1, 2, 3].map((row) => table.line(row))).toEqual([5, 6, 8, 10]);
    expect(notes(opened).split('\n')).toEqual([
      'oaks.xlsx: the sheet "Trees" was read; the file also holds "Notes", "Lists" (hidden)',
      'oaks.xlsx, sheet "Trees": formulas without a stored result were read as empty; open the file in a spreadsheet program and save it (L5)',
      'oaks.xlsx, sheet "Trees": numbers that are shown as dates and are none were read as numbers (G6)',
      'oaks.xlsx, sheet "Trees": error values were read as empty (L8)',
      'oaks.xlsx, sheet "Trees": of merged cells, only the first has the content (B10:C11)',
      'oaks.xlsx, sheet "Trees": 1 hidden row was read too',
    ]);
  });

  it('gives the sheet that is asked for, and names the sheets where there is none of that name', async () => {
    const opened = await read(fixture('openpyxl-trees.xlsx'), { part: 'Lists' });
    expect(rowsOf(tableIn(opened))).toEqual([['1']]);
    expect(opened.notes).toEqual([]);
    expect(await failureOf(fixture('openpyxl-trees.xlsx'), { part: 'Oaks' })).toMatchObject({
      what: 'holds no sheet "Oaks"',
      todo: 'Choose one of: "Notes", "Trees", "Lists" (hidden).',
    });
    expect(await failureOf(fixture('openpyxl-trees.xlsx'), { part: 'Notes' })).toMatchObject({
      where: 'oaks.xlsx, sheet "Notes"',
      what: 'is empty',
    });
  });

  it('passes by a page of remarks and a title above the header, and says so', async () => {
    const opened = await read(fixture('openpyxl-title.xlsx'));
    expect(opened.part).toBe('Trees');
    expect(tableIn(opened).columns).toEqual(['Tree #', 'Common name', 'Lat (deg min)', 'Long W']);
    expect(rowsOf(tableIn(opened))[1]).toEqual(['T-2', 'bur oak', "39° 0.5111' N", "81° 59.6073'"]);
    expect(tableIn(opened).line(0)).toBe(4);
    expect(notes(opened)).toContain('the header was found in row 3');
  });

  it('counts days from 1904 where the workbook does', async () => {
    expect(rowsOf(tableIn(await read(fixture('openpyxl-1904.xlsx'))))).toEqual([
      ['2026-02-14', '1904-01-02T12:00:00'],
    ]);
  });
});

describe('workbooks of other writers', () => {
  it('XlsxWriter 3.0: rich text, results of formulas, errors, fractions of seconds', async () => {
    const opened = await read(fixture('xlsxwriter-rich.xlsx'));
    expect(opened.part).toBe('R&D <1>');
    expect(tableIn(opened).columns).toEqual(['name', 'twice', 'word', 'error', 'when', 'code']);
    expect(rowsOf(tableIn(opened))).toEqual([
      ['Quercus alba L. & Co', '42', 'ab', '', '2026-02-14T10:22:05.250', '0042'],
      ['Chêne – 栎 🌳', '', '', '', '', ''],
    ]);
    expect(notes(opened)).toMatch(/error values were read as empty \(D2\)/);
  });

  it('GDAL 3.6: shared texts and dates', async () => {
    expect(rowsOf(tableIn(await read(fixture('gdal-oaks.xlsx'))))).toEqual([
      ['007', '-82.1', '39.3', '64', '2026-02-14'],
      ['008', '-82.2', '39.4', '', ''],
    ]);
  });

  it('Microsoft Excel for Mac (the sample of npm but-unzip, Apache-2.0)', async () => {
    const opened = await read(fixture('excel-mac.xlsx'));
    expect(opened.parts?.map((p) => p.name)).toEqual(['Sheet1', 'Blah']);
    expect(tableIn(opened).columns).toEqual(['Hello!']);
    expect(rowsOf(tableIn(opened))).toEqual([['Are excel files actually zips? Yes probably!']]);
  });

  it.each(['gdal-oaks.xlsx', 'xlsxwriter-rich.xlsx'])(
    '%s: the texts and numbers that another library reads (read-excel-file 9.3)',
    async (name) => {
      const [header, ...theirs] = await otherReader(new Blob([fixture(name).slice()]));
      const table = tableIn(await read(fixture(name)));
      expect(table.columns).toEqual(header);
      for (const [r, row] of theirs.entries())
        for (const [c, cell] of row.entries())
          if (typeof cell === 'number' || (typeof cell === 'string' && !cell.startsWith('#')))
            expect(table.cell(r, c)).toBe(String(cell));
    },
  );
});

describe('OpenDocument spreadsheets', () => {
  it('as GDAL 3.6 writes them', async () => {
    const opened = await read(fixture('gdal-oaks.ods'));
    expect(opened).toMatchObject({
      format: 'ODS',
      part: 'oaks',
      parts: [{ name: 'oaks', kind: 'table', count: 2 }],
    });
    expect(tableIn(opened).columns).toEqual(['tag', 'lon', 'lat', 'dbh', 'seen']);
    expect(rowsOf(tableIn(opened))).toEqual([
      ['007', '-82.1', '39.3', '64', '2026-02-14'],
      ['008', '-82.2', '39.4', '', ''],
    ]);
    expect(workbook.recognises(fixture('gdal-oaks.ods').subarray(0, 512), 'oaks.zip')).toBe(true);
  });

  it('as odfpy 1.4 writes them: repetitions, spans of text, lengths of time, merged and hidden rows', async () => {
    const opened = await read(fixture('odfpy-trees.ods'));
    const table = tableIn(opened);
    expect(opened.parts?.map((p) => p.name)).toEqual(['Empty', 'Trees', 'Codes']);
    expect(table.columns).toEqual(['tag', 'name', 'lon', 'seen', 'logged', 'for', 'fenced']);
    expect(rowsOf(table)).toEqual([
      ['007', 'Quercus alba L.  x\nsecond line', '-82.1034', '2026-02-14', '2026-02-14T10:22:05', '30:01:05.250', 'TRUE'],
      ['x', 'x', '0.5', '', '', '', ''],
      ['x', 'x', '0.5', '', '', '', ''],
      ['m', '', '', '', '', '', ''],
    ]); // prettier-ignore
    expect([0, 1, 2, 3].map((r) => table.line(r))).toEqual([5, 6, 7, 8]);
    expect(notes(opened).split('\n')).toEqual([
      'oaks.xlsx: the sheet "Trees" was read; the file also holds "Empty", "Codes"',
      'oaks.xlsx, sheet "Trees": error values were read as empty (E6)',
      'oaks.xlsx, sheet "Trees": of merged cells, only the first has the content (B8:C8)',
      'oaks.xlsx, sheet "Trees": 2 hidden rows were read too',
    ]);
    expect(tableIn(await read(fixture('odfpy-trees.ods'), { part: 'Codes' })).columns).toEqual(['code']);
    expect((await failureOf(fixture('odfpy-trees.ods'), { part: 'Empty' })).what).toBe('is empty');
    expect((await failureOf(fixture('odfpy-trees.ods'), { part: 'No' })).todo).toBe(
      'Choose one of: "Empty", "Trees", "Codes".',
    );
  });

  const odsOf = (content: string, manifest = '<manifest/>'): Uint8Array =>
    zipSync(
      {
        mimetype: strToU8('application/vnd.oasis.opendocument.spreadsheet'),
        'content.xml': strToU8(content),
        'META-INF/manifest.xml': strToU8(manifest),
      },
      { level: 0 },
    );

  it('refuses one with a password, one without cells, one that repeats more than fits', async () => {
    const locked = '<manifest><file-entry><encryption-data/></file-entry></manifest>';
    expect((await failureOf(odsOf('x', locked))).what).toBe('is locked with a password');
    expect((await failureOf(odsOf('<a/>'))).what).toBe('holds no sheet with cells');
    const cell = '<table-cell value-type="float" value="1" number-columns-repeated="99999999"/>';
    const table = (rows: string) => odsOf(`<a><table name="t">${rows}</table></a>`);
    expect((await failureOf(table(`<table-row>${cell}</table-row>`))).what).toMatch(/has a column 16385/);
    const many =
      '<table-row number-rows-repeated="1048576"><table-cell value-type="float" value="1" number-columns-repeated="16384"/></table-row>';
    expect((await failureOf(table(many))).what).toMatch(/more than 30 million cells/);
    expect(
      (
        await failureOf(
          table(
            '<table-row number-rows-repeated="99999999"><table-cell value-type="float" value="1"/></table-row>',
          ),
        )
      ).what,
    ).toMatch(/has a row 1048577/);
  });
});

describe('cells', () => {
  const cellsOf = async (cells: string, more: Readonly<Record<string, string>> = {}) => {
    const opened = await read(
      byHand(`<sheetData><row><c t="inlineStr"><is><t>h</t></is></c></row>${cells}</sheetData>`, more),
    );
    return { rows: rowsOf(tableIn(opened)).map((r) => r[0]), opened };
  };

  it('reads numbers by their shortest form, and keeps what is no number', async () => {
    const values = ['0.10000000000000001', '1E+21', '-0', '1e400', 'x', ' 5 ', '39.332100000000004'];
    const { rows } = await cellsOf(values.map((v) => `<row><c><v>${v}</v></c></row>`).join(''));
    expect(rows).toEqual(['0.1', '1e+21', '0', '1e400', 'x', '5', '39.332100000000004']);
  });

  it('finds places by order where addresses are left out, and ignores odd ones', async () => {
    const { opened } = await cellsOf(
      '<row r="7"><c r="B7"><v>1</v></c><c><v>2</v></c></row><row><c r="??"><v>3</v></c></row><row r="-2"><c r="A9"><v>4</v></c></row>',
    );
    const table = tableIn(opened);
    expect(table.columns).toEqual(['h', 'column B', 'column C']);
    expect(rowsOf(table)).toEqual([['', '1', '2'], ['3', '', ''], ['4', '', '']]); // prettier-ignore
    expect([0, 1, 2].map((r) => table.line(r))).toEqual([7, 8, 9]);
    expect(notes(opened)).toMatch(/row 1 was taken for the header, though it names only 1 of 3 columns/);
  });

  it('reads phonetic aids, control characters and missing texts for what they are', async () => {
    const { rows, opened } = await cellsOf(
      '<row><c t="inlineStr"><is><r><t>a_x000A_</t></r><rPh sb="0" eb="1"><t>no</t></rPh><r><t>b</t></r></is></c></row>' +
        '<row><c t="s"><v>5</v></c></row><row><c t="s"><v>-1</v></c></row><row><c t="str"><f>1</f><v></v></c></row><row><c t="d"><v>2026-02-14T00:00:00</v></c></row>',
    );
    expect(rows).toEqual(['a\nb', '2026-02-14']);
    expect(notes(opened)).toMatch(/texts that the file does not hold were read as empty \(A3, A4\)/);
  });

  // Formats as spreadsheet programs write them; what they show is ECMA-376 part 1, 18.8.30 and 18.8.31.
  it.each([
    ['yyyy-mm-dd', '46067', '2026-02-14'],
    ['m/d/yy h:mm', '46067.5', '2026-02-14T12:00:00'],
    ['[$-409]d\\-mmm\\-yy;@', '46067', '2026-02-14'],
    ['mmmm', '46067', '2026-02-14'],
    ['yyyy-mm-dd', '46067.5', '2026-02-14T12:00:00'],
    ['hh:mm AM/PM', '0.75', '18:00:00'],
    ['hh:mm', '46067.75', '2026-02-14T18:00:00'],
    ['mm:ss.0', '0.000017361111', '00:00:01.500'],
    ['[mm]:ss', '2.5', '60:00:00'],
    ['0.00', '46067', '46067'],
    ['#,##0 "days"', '46067', '46067'],
    ['_("$"* #,##0_);[Red]_("$"* (#,##0)', '46067', '46067'],
    ['0.0%', '0.5', '0.5'],
    ['General', '46067', '46067'],
    ['0\\ \\m', '12', '12'],
    ['@', '46067', '46067'],
    ['yyyy-mm-dd', '-5', '-5'],
    ['yyyy-mm-dd', '99999999', '99999999'],
    // 18.17.4.1: the day that never was, and its neighbours.
    ['yyyy-mm-dd', '1', '1900-01-01'],
    ['yyyy-mm-dd', '59', '1900-02-28'],
    ['yyyy-mm-dd', '60', '1900-02-29'],
    ['yyyy-mm-dd', '61', '1900-03-01'],
    ['yyyy-mm-dd', '2958465', '9999-12-31'],
  ])('%s: %s is %s', async (code, value, text) => {
    const styles = `<styleSheet><numFmts><numFmt numFmtId="170" formatCode="${code.replace(/"/g, '&quot;')}"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="170"/></cellXfs></styleSheet>`;
    const { rows } = await cellsOf(`<row><c s="1"><v>${value}</v></c></row>`, { 'xl/st.xml': styles });
    expect(rows).toEqual([text]);
  });

  it.each([
    [14, '46067', '2026-02-14'],
    [20, '0.5', '12:00:00'],
    [22, '46067.5', '2026-02-14T12:00:00'],
    [46, '1.5', '36:00:00'],
    [2, '46067', '46067'],
    [49, '46067', '46067'],
  ])('built-in format %i: %s is %s', async (id, value, text) => {
    const styles = `<styleSheet><cellXfs><xf/><xf numFmtId="${id}"/></cellXfs></styleSheet>`;
    const { rows } = await cellsOf(`<row><c s="1"><v>${value}</v></c></row>`, { 'xl/st.xml': styles });
    expect(rows).toEqual([text]);
  });
});

describe('what is no workbook that is read', () => {
  it.each([['xlwt-old.xls', /workbook of the old kind \(.xls\)/, /save it as .xlsx or CSV/]])(
    '%s',
    async (name, what, todo) => {
      expect(workbook.recognises(fixture(name).subarray(0, 512), name)).toBe(true);
      expect(workbook.recognises(fixture(name).subarray(0, 512), 'oaks.xlsx')).toBe(true);
      const failure = await failureOf(fixture(name));
      expect(failure.what).toMatch(what);
      expect(failure.todo).toMatch(todo);
    },
  );

  // By hand after [MS-OFFCRYPTO] 2.3.4: a workbook with a password is a compound file with a stream "EncryptedPackage".
  it('a workbook with a password', async () => {
    const bytes = new Uint8Array(2048);
    bytes.set([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]);
    bytes.set(
      [...'EncryptedPackage'].flatMap((c) => [c.charCodeAt(0), 0]),
      1024,
    );
    expect(await failureOf(bytes)).toMatchObject({ what: 'is locked with a password' });
  });

  it.each([
    ['word/document.xml', /text document/],
    ['ppt/presentation.xml', /presentation/],
    ['xl/workbook.bin', /binary workbook/],
  ])('an archive with %s', async (path, what) => {
    const zip = zipSync({ '[Content_Types].xml': strToU8('<Types/>'), [path]: strToU8('x') });
    expect(workbook.recognises(zip.subarray(0, 512), 'a')).toBe(true);
    expect((await failureOf(zip)).what).toMatch(what);
  });

  it('a zip of something else that is named so, and not a zip of shapefiles', async () => {
    const zip = zipSync({ 'zones.shp': strToU8('x') });
    expect(workbook.recognises(zip.subarray(0, 512), 'zones.zip')).toBe(false);
    expect((await failureOf(zip)).what).toBe('is a zip, but not a workbook');
  });

  it('a workbook without what it names', async () => {
    const files = unzipSync(byHand('<sheetData/>'));
    const without = (path: string): Uint8Array =>
      zipSync(Object.fromEntries(Object.entries(files).filter(([p]) => p !== path)));
    expect((await failureOf(without('xl/workbook.xml'))).what).toMatch(/is no workbook/);
    expect((await failureOf(without('xl/_rels/workbook.xml.rels'))).what).toBe('holds no sheet with cells');
    expect((await failureOf(without('xl/s.xml'))).what).toBe('is missing in the file');
    expect((await failureOf(byHand('<sheetData/>'))).what).toBe('holds only empty sheets');
    expect((await failureOf(byHand('', { 'xl/s.xml': '<chartsheet/>' }))).what).toBe(
      'is no sheet of cells (but "chartsheet")',
    );
  });
});

describe('hostile workbooks', () => {
  it('reads a cell in the last corner without a rectangle of cells', async () => {
    const table = tableIn(
      await read(
        byHand(
          '<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>2</v></c></row></sheetData>',
        ),
      ),
    );
    expect(table.columns).toEqual(['1', 'column XFD']);
    expect(rowsOf(table)).toEqual([['', '2']]);
    expect(table.line(0)).toBe(1_048_576);
  });

  it('refuses places that no sheet has', async () => {
    const cell = (at: string) => `<c r="${at}"><v>1</v></c>`;
    expect(
      (await failureOf(byHand(`<sheetData><row r="9999999">${cell('A1')}</row></sheetData>`))).what,
    ).toMatch(/has a row 9999999/);
    expect(
      (await failureOf(byHand(`<sheetData><row r="1">${cell('ZZZZZ1')}</row></sheetData>`))).what,
    ).toMatch(/has a column/);
  });

  it('refuses a sheet that states more than is read, before it is unpacked', async () => {
    const zip = byHand('<sheetData/>');
    // The size in the list of the archive (APPNOTE 4.3.12, offset 24 of the entry of xl/s.xml).
    const text = Buffer.from(zip).toString('latin1');
    const entry = text.lastIndexOf('xl/s.xml') - 46;
    const lying = zip.slice();
    new DataView(lying.buffer).setUint32(entry + 24, 1.9e9, true);
    expect((await failureOf(lying)).what).toMatch(/MB|larger|unpacks/);
  });

  it('refuses entities, and says where XML is broken', async () => {
    expect(
      (await failureOf(byHand('', { 'xl/s.xml': '<!DOCTYPE a [<!ENTITY b "c">]><worksheet/>' }))).what,
    ).toMatch(/entities/);
    expect((await failureOf(byHand('<sheetData>'))).where).toBe('oaks.xlsx, sheet "S", line 1');
  });

  it('keeps formulas and markup as text', async () => {
    const text = '&lt;script&gt;alert(1)&lt;/script&gt;';
    const opened = await read(
      byHand(
        `<sheetData><row><c t="inlineStr"><is><t>h</t></is></c></row><row><c t="inlineStr"><is><t>${text}</t></is></c></row></sheetData>`,
      ),
    );
    expect(rowsOf(tableIn(opened))).toEqual([['<script>alert(1)</script>']]);
  });
});
