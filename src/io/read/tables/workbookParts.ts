/** What workbooks of all kinds share: files of their archive, and the table of one sheet as the answer. */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Table } from '../../../domain/base/table.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Source } from '../../source.ts';
import type { Opened } from '../types.ts';
import { MOST_XML, readXml, type XmlNode } from '../markup/xml.ts';
import { unpackEntry, type ZipEntry } from '../archives/zip.ts';

export interface Piece {
  /** Null where the archive holds no such file. */
  readonly bytes: Uint8Array | null;
  /** Elements that were asked for. */
  readonly nodes: readonly XmlNode[] | null;
}
export type Archive = (path: string, names?: readonly string[]) => Promise<Result<Piece>>;

/** Unpacks one file of the archive, and reads the named elements of it where some are named. */
export function archiveOf(source: Source, entries: readonly ZipEntry[], work: Work | undefined): Archive {
  // Some writers use other letter cases in paths than in the relations that name them.
  const byPath = new Map(entries.map((e) => [e.path.toLowerCase(), e]));
  return async (path, names) => {
    const entry = byPath.get(path.toLowerCase());
    if (!entry) return ok({ bytes: null, nodes: null });
    // Before memory is taken: the sizes are told in the list of the archive.
    const where = `${source.name}, ${entry.path}`;
    if (entry.size > MOST_XML)
      return fail(
        'content',
        where,
        `unpacks to ${Math.round(entry.size / 1e6)} MB; up to ${MOST_XML / 1e6} MB are read`,
        'Save the sheet that you need as CSV.',
      );
    const bytes = await unpackEntry(source, entry, work);
    if (!bytes.ok) return bytes;
    if (!names) return ok({ bytes: bytes.value, nodes: null });
    const nodes: XmlNode[] = [];
    const read = await readXml(
      bytes.value,
      where,
      { open: (name) => names.includes(name), element: (node) => void nodes.push(node) },
      work,
    );
    return read.ok ? ok({ bytes: null, nodes }) : read;
  };
}

export interface Named {
  readonly name: string;
  readonly hidden: boolean;
}

export function tableOpened(
  file: string,
  format: string,
  name: string,
  sheets: readonly Named[],
  table: Table,
  notes: readonly Note[],
  wanted: string | undefined,
): Result<Opened> {
  const others = sheets.filter((s) => s.name !== name);
  const which =
    wanted === undefined && others.length > 0
      ? [{ where: file, what: `the sheet "${name}" was read; the file also holds ${named(others)}` }]
      : [];
  return ok({
    file,
    format,
    content: { kind: 'table', table },
    crs: null,
    extent: null,
    count: table.n,
    notes: [...which, ...notes],
    parts: sheets.map((s) => ({ name: s.name, kind: 'table', count: s.name === name ? table.n : null })),
    part: name,
  });
}

export const noSuchSheet = (
  file: string,
  wanted: string,
  sheets: readonly Named[],
): ReturnType<typeof fail> =>
  fail('content', file, `holds no sheet "${wanted}"`, `Choose one of: ${named(sheets)}.`);

export const emptySheets = (file: string, wanted: string | undefined): ReturnType<typeof fail> =>
  fail(
    'content',
    wanted === undefined ? file : `${file}, sheet "${wanted}"`,
    wanted === undefined ? 'holds only empty sheets' : 'is empty',
    'Give a table with a header row.',
  );

const named = (sheets: readonly Named[]): string =>
  sheets
    .slice(0, 8)
    .map((s) => `"${s.name}"${s.hidden ? ' (hidden)' : ''}`)
    .join(', ') + (sheets.length > 8 ? ` and ${sheets.length - 8} more` : '');

export const withPassword = (file: string): ReturnType<typeof fail> =>
  fail(
    'format',
    file,
    'is locked with a password',
    'Open it in a spreadsheet program, and save it without a password.',
  );
