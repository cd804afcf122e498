/** Rows as spreadsheets copy and paste them: cells parted by tabs, a cell with a tab, line break or quote in quotes. */

const PLAIN = /[^\t\n]*/y;

/** Cells of copied text. The last line break, which every spreadsheet adds, makes no row; short rows stay short. */
export function cellsOf(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  const source = text.replace(/\r\n?/g, '\n');
  while (at < source.length) {
    const quoted = source[at] === '"' ? quotedAt(source, at) : null;
    let cell: string;
    if (quoted) {
      cell = quoted.cell;
      at = quoted.end;
    } else {
      PLAIN.lastIndex = at;
      const end = at + (PLAIN.exec(source)?.[0].length ?? 0);
      cell = source.slice(at, end);
      at = end;
    }
    row.push(cell);
    const sign = source[at++];
    if (sign === '\t') {
      // A tab at the very end is followed by an empty cell.
      if (at === source.length) row.push('');
      continue;
    }
    rows.push(row);
    row = [];
  }
  if (row.length > 0) rows.push(row);
  return rows;
}

/** A cell in quotes that begins here, if its closing quote is followed by the end of a cell; a lone quote is text (24" wide). */
function quotedAt(source: string, start: number): { cell: string; end: number } | null {
  let cell = '';
  let at = start + 1;
  for (;;) {
    const close = source.indexOf('"', at);
    if (close < 0) return null;
    cell += source.slice(at, close);
    const next = source[close + 1];
    if (next === '"') {
      cell += '"';
      at = close + 2;
    } else return next === undefined || next === '\t' || next === '\n' ? { cell, end: close + 1 } : null;
  }
}

/** Text that a spreadsheet takes as these cells. */
export const textOf = (rows: ReadonlyArray<readonly string[]>): string =>
  rows
    .map((row) => row.map((c) => (/[\t\n\r"]/.test(c) ? `"${c.replaceAll('"', '""')}"` : c)).join('\t'))
    .join('\r\n');
