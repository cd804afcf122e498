/** How a table of text is written: what parts its cells and lines, and which of its rows is the header. */
import Papa from 'papaparse';
import type { Note } from '../../../domain/base/result.ts';

export interface Dialect {
  readonly delimiter: string;
  readonly newline: '\n' | '\r';
  /** Characters at the beginning that only say the delimiter ("sep=;"). */
  readonly skip: number;
}

const DELIMITERS = [',', ';', '\t', '|'];
const LOOKED_AT = 60;

/** @param head beginning of the text. @param whole whether that is all of it. */
export function dialectOf(head: string, whole: boolean): Dialect {
  const newline = head.includes('\n') || !head.includes('\r') ? '\n' : '\r';
  // The line that spreadsheets put in front to say what parts the cells.
  const said = /^sep=(.)\r?\n?/i.exec(head);
  if (said) return { delimiter: said[1], newline, skip: said[0].length };
  let best = { delimiter: ',', score: 0 };
  for (const delimiter of DELIMITERS) {
    const { data } = Papa.parse<string[]>(head, { delimiter, newline, preview: LOOKED_AT });
    if (!whole && data.length > 1 && data.length < LOOKED_AT) data.pop();
    const rows = data.filter((row) => row.some((c) => c.trim() !== ''));
    const usual = usualLength(rows);
    if (usual < 2) continue;
    const alike = rows.filter((row) => row.length === usual).length / rows.length;
    const score = alike + Math.min(usual, 100) / 1e6;
    if (score > best.score) best = { delimiter, score };
  }
  return { delimiter: best.delimiter, newline, skip: 0 };
}

/** The number of cells that most rows have; the larger of two that are as frequent. */
function usualLength(rows: ReadonlyArray<readonly string[]>): number {
  const counts = new Map<number, number>();
  for (const row of rows) counts.set(row.length, (counts.get(row.length) ?? 0) + 1);
  let usual = 0;
  for (const [length, n] of counts) {
    const most = counts.get(usual) ?? 0;
    if (n > most || (n === most && length > usual)) usual = length;
  }
  return usual;
}

const filled = (row: readonly string[]): number => row.filter((c) => c.trim() !== '').length;
const isNumber = (cell: string): boolean => /^[+-]?[\d.,]*\d$/.test(cell.trim());

/**
 * Index of the header among the first rows of a table (empty ones too): the first that fills at least two cells and half of
 * what rows usually fill, with words in them, if only shorter rows (a title, a remark) stand above it; else the first row with
 * anything in it. -1 where there is none.
 */
export function headerAt(rows: ReadonlyArray<readonly string[]>): number {
  const first = rows.findIndex((row) => filled(row) > 0);
  if (first < 0) return -1;
  const usual = usualLength(
    rows.filter((row) => filled(row) > 1).map((row) => row.filter((c) => c.trim() !== '')),
  );
  const wanted = Math.max(2, usual / 2);
  const isTitle = (row: readonly string[]): boolean =>
    filled(row) < wanted || (row[0].startsWith('#') && row.length < usual);
  if (!isTitle(rows[first])) return first;
  const header = rows.findIndex((row) => !isTitle(row));
  return header > 0 && !rows[header].some((c) => c.trim() !== '' && isNumber(c)) ? header : first;
}

/**
 * Names of the columns: on one line, an empty one by its number, a repeated one with a number behind, which is noted; so are
 * names that are numbers, as in a table without a header.
 */
export function columnNames(
  header: readonly string[],
  file: string,
): { readonly columns: string[]; readonly notes: Note[] } {
  const plain = header.map((c) => c.trim().replace(/\s+/g, ' '));
  const used = new Set(plain);
  const seen = new Set<string>();
  const repeated: string[] = [];
  const columns = plain.map((cell, i) => {
    const name = cell || `column ${i + 1}`;
    if (!seen.has(name)) {
      seen.add(name);
      return name;
    }
    let k = 2;
    while (used.has(`${name} (${k})`) || seen.has(`${name} (${k})`)) k++;
    const made = `${name} (${k})`;
    seen.add(made);
    repeated.push(`"${made}"`);
    return made;
  });
  const notes: Note[] = [];
  if (repeated.length > 0)
    notes.push({
      where: file,
      what: `has columns of the same name; the later ones are called ${repeated.slice(0, 5).join(', ')}${repeated.length > 5 ? ` and so on (${repeated.length} in all)` : ''}`,
    });
  const named = plain.filter((c) => c !== '');
  if (named.length > 0 && named.every(isNumber))
    notes.push({
      where: file,
      what: `has numbers where the names of its columns should be ("${named.slice(0, 3).join('", "')}"); if that is a row of the table, put a row of names above it`,
    });
  return { columns, notes };
}

/** Note on the rows above the header; none where there are none. */
export function titleNote(rows: ReadonlyArray<readonly string[]>, header: number, file: string): Note[] {
  const title = rows.slice(0, header).find((row) => filled(row) > 0);
  if (!title) return [];
  const text = title.find((c) => c.trim() !== '')?.trim() ?? '';
  return [
    {
      where: file,
      what: `the header was found in row ${header + 1}; what stands above it ("${text.slice(0, 60)}"${header > 1 ? ' ...' : ''}) was skipped`,
    },
  ];
}
