/** What a paste into the table of candidates would do, before it is done. */
import type { Note } from '../../base/result.ts';
import type { Records } from '../candidates.ts';
import { columnsOf } from '../table/columns.ts';
import { fieldText, isEditField, KEPT_AS_WRITTEN, type EditField, type FieldTexts } from './editFields.ts';
import { plainHeader } from '../table/headers.ts';
import { placeFrom } from '../table/placeFrom.ts';
import { readFields } from '../table/readFields.ts';

export type PasteColumn = 'id' | EditField;

/** Where a paste begins, and how the table writes its cells. */
export interface PasteTarget {
  /** Columns of the table from the one that the paste begins in. */
  readonly columns: readonly PasteColumn[];
  /** Ids of the rows from the one that the paste begins in; rows past the last are new. */
  readonly ids: readonly string[];
  /** Ids that are taken; new candidates get theirs from `newIds`. */
  readonly taken: ReadonlySet<string>;
  readonly newIds: (count: number) => readonly string[];
  /** A cell as the table shows it. */
  readonly shown: (row: number, field: EditField) => string;
  /** What a bare number means in a column of the table: "22" becomes "22 in" where inches are shown. */
  readonly withUnit: (field: EditField, text: string) => string;
}

export interface PasteChange {
  readonly id: string;
  readonly fields: FieldTexts;
}

export interface Paste {
  /** The first row named the columns. */
  readonly header: boolean;
  /** Columns that the cells went to, in their order; null: to none. */
  readonly columns: ReadonlyArray<PasteColumn | 'place' | null>;
  /** Only fields that would change, as text. */
  readonly changes: readonly PasteChange[];
  readonly added: readonly FieldTexts[];
  /** Rows and cells that are left out, and values that are not understood. */
  readonly notes: readonly Note[];
}

/** A bare number, as a cell of a spreadsheet has it. */
const BARE = /^[+-]?\d+(?:[.,]\d+)?$/;

/**
 * The plan of a paste. A first row of column names is recognised; then rows with an id go to the candidate of that id (or
 * make a new one of it), wherever the paste began, and empty cells leave what is there. Without names, cells go to the
 * columns and rows from the place where the paste begins, empty ones included, as in a spreadsheet; rows past the last make
 * new candidates. A new candidate needs a position.
 */
export function planPaste(
  candidates: Records,
  cells: ReadonlyArray<readonly string[]>,
  target: PasteTarget,
): Paste {
  const notes: Note[] = [];
  const named = headerOf(cells);
  const columns: Array<PasteColumn | 'place' | null> = named
    ? named.columns
    : Array.from({ length: Math.max(0, ...cells.map((r) => r.length)) }, (_, i) => target.columns[i] ?? null);
  const body = (named ? cells.slice(1) : cells).filter(
    (row, i, all) => i < all.length - 1 || row.some((c) => c.trim() !== ''),
  );
  columns.forEach((column, i) => {
    if (column === null)
      notes.push({
        where: named ? `Column "${cells[0][i] ?? ''}"` : `Column ${i + 1} of the copied cells`,
        what: named ? 'is not taken in a paste; left out' : 'is past the last column; left out',
      });
  });
  const byId = named !== null && columns.includes('id');
  const rowOf = new Map(candidates.id.map((id, row) => [id, row]));
  const changes: PasteChange[] = [];
  const fresh: Array<{ wanted: string; fields: Record<string, string>; where: string }> = [];
  const seen = new Set<string>();
  body.forEach((cells, r) => {
    const where = `Row ${r + 1} of the copied rows`;
    const fields: Record<string, string> = {};
    let written = '';
    columns.forEach((column, i) => {
      const cell = (cells[i] ?? '').trim();
      if (column === null || (named && cell === '') || i >= cells.length) return;
      if (column === 'id') written = cell;
      else if (column === 'place') {
        const place = placeFrom(cell);
        if (place) Object.assign(fields, { lat: String(place.lat), lon: String(place.lon) });
        else notes.push({ where, what: `"${cell}" is no position in degrees; left out` });
      } else fields[column] = named ? named.withUnit(i, column, cell) : target.withUnit(column, cell);
    });
    const id = byId ? written : target.ids[r];
    const row = id === undefined ? undefined : rowOf.get(id);
    if (row === undefined) {
      if (written === '' && Object.values(fields).every((f) => f === '')) return;
      fresh.push({ wanted: written, fields, where });
      return;
    }
    if (seen.has(candidates.id[row])) {
      notes.push({ where, what: `is for ${candidates.id[row]}, as an earlier row is; left out` });
      return;
    }
    seen.add(candidates.id[row]);
    if (!byId && written !== '' && written !== candidates.id[row])
      notes.push({ where, what: `the id stays ${candidates.id[row]}: all else names the tree by it` });
    const changed = Object.fromEntries(
      Object.entries(fields).filter(
        ([f, text]) =>
          isEditField(f) && text !== fieldText(candidates, row, f) && text !== target.shown(row, f),
      ),
    );
    if (Object.keys(changed).length > 0) changes.push({ id: candidates.id[row], fields: changed });
  });
  return finish(columns, named !== null, changes, fresh, target, notes);
}

function finish(
  columns: Paste['columns'],
  header: boolean,
  changes: readonly PasteChange[],
  fresh: ReadonlyArray<{ wanted: string; fields: Record<string, string>; where: string }>,
  target: PasteTarget,
  notes: Note[],
): Paste {
  const { values, notes: found } = readFields([
    ...changes.map(({ id, fields }) => ({ where: id, fields })),
    ...fresh,
  ]);
  notes.push(...found);
  // A value that is not understood changes nothing.
  const refused = new Set(found.map((n) => n.where));
  const understood = (where: string, fields: FieldTexts): FieldTexts =>
    Object.fromEntries(
      Object.entries(fields).filter(([f]) => KEPT_AS_WRITTEN.has(f) || !refused.has(`${where}, ${f}`)),
    );
  // A tree without a place is none: neither one that is new nor one that has a place already.
  const placed = fresh.filter(({ where }, i) => {
    const at = changes.length + i;
    const ok = !Number.isNaN(values.lon[at]) && !Number.isNaN(values.lat[at]);
    if (!ok) notes.push({ where, what: 'has no position, which a new candidate needs; left out' });
    return ok;
  });
  const kept = changes.map(({ id, fields }, i) => {
    const stays = (['lon', 'lat'] as const).filter((f) => fields[f] === '' && Number.isNaN(values[f][i]));
    for (const f of stays) notes.push({ where: `${id}, ${f}`, what: 'is empty; the tree keeps its place' });
    return {
      id,
      fields: Object.fromEntries(
        Object.entries(understood(id, fields)).filter(([f]) => !(stays as string[]).includes(f)),
      ),
    };
  });
  const taken = new Set(target.taken);
  const spare = target.newIds(placed.length);
  const added = placed.map(({ wanted, fields, where }, i): FieldTexts => {
    const id = wanted !== '' && !taken.has(wanted) ? wanted : spare[i];
    if (wanted !== '' && id !== wanted)
      notes.push({ where, what: `"${wanted}" is there already; called "${id}"` });
    taken.add(id);
    return {
      id,
      ...Object.fromEntries(Object.entries(understood(where, fields)).filter(([, text]) => text !== '')),
    };
  });
  return { header, columns, changes: kept.filter((c) => Object.keys(c.fields).length > 0), added, notes };
}

interface Header {
  readonly columns: Array<PasteColumn | 'place' | null>;
  /** Text of a cell with the unit or the letter of the sky that its column's name gives. */
  readonly withUnit: (column: number, field: EditField, text: string) => string;
}

/** The first row as names of columns: null unless at least two cells, and half of those with something in them, are names. */
function headerOf(cells: ReadonlyArray<readonly string[]>): Header | null {
  const [first, ...rest] = cells;
  if (!first || rest.length === 0) return null;
  const written = first.filter((c) => c.trim() !== '');
  if (written.some((c) => BARE.test(c.trim()))) return null;
  const { at, unit, sign } = columnsOf([...first], {}, []);
  const columns: Header['columns'] = first.map(() => null);
  for (const [field, index] of Object.entries(at)) {
    if (field === 'id' || isEditField(field)) columns[index] = field;
    else if (field === 'coordinates') columns[index] = 'place';
    else if (field === 'commonName' && at.species === undefined) columns[index] = 'species';
  }
  const known = Object.keys(at).length;
  if (known < 2 || known < written.length / 2) return null;
  return {
    columns,
    withUnit: (column, field, text) => {
      if ((unit as Partial<Record<string, number>>)[field] !== undefined && BARE.test(text))
        return `${text} ${plainHeader(first[column]).unit}`;
      if (
        (sign as Partial<Record<string, number>>)[field] === -1 &&
        /^\d/.test(text) &&
        !/[NSEW]/i.test(text)
      )
        return `-${text}`;
      return text;
    },
  };
}
