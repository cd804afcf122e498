/** What a table says of each tree besides its position: names, measures, scores and text. */
import type { Steps } from '../../base/steps.ts';
import type { Table } from '../../base/table.ts';
import { PERMISSIONS, type Permission, type Records, type TextField } from '../candidates.ts';
import type { Columns } from './columns.ts';
import { dateIn, OrderVotes } from './dates.ts';
import type { Field } from './fields.ts';
import { metresIn } from './headers.ts';
import { Ids } from './ids.ts';
import type { Log } from './log.ts';
import { numberIn, StyleVotes, type NumberStyle } from './numbers.ts';
import { STRIDE } from './rawPlaces.ts';
import type { TableReading } from './reading.ts';
import { hasSpecies, speciesReader, Unsettled, type UnsettledName } from './speciesColumn.ts';

/** Fields kept as text. */
const TEXTS: ReadonlyArray<Exclude<TextField, 'file' | 'row'>> = [
  'name',
  'owner',
  'stand',
  'identifiedBy',
  'keyUsed',
  'establishmentMeans',
  'degreeOfEstablishment',
  'setting',
  'notes',
  'date',
  'county',
  'regeneration',
  'recordedBy',
  'qualifier',
  'count',
];
/** Metres in a degree of latitude, for the rounding of coordinates. */
const DEGREE = 111_320;

export interface Described {
  readonly records: Omit<Records, 'lon' | 'lat'>;
  readonly unsettled: readonly UnsettledName[];
}

/**
 * The fields of the given rows of a table. A value that cannot be read leaves its field empty; each is noted.
 * @param lat latitude of each of the rows, for the rounding of coordinates; NaN where it is not known.
 */
export function* recordsOf(
  table: Table,
  rows: Int32Array,
  lat: Float64Array,
  columns: Columns,
  how: TableReading,
  file: string,
  log: Log,
): Steps<Described> {
  const { at } = columns;
  const n = rows.length;
  const cell = (i: number, field: Field): string => {
    const column = at[field];
    return column === undefined ? '' : table.cell(rows[i], column).trim();
  };
  const line = (i: number): number => table.line(rows[i]);
  const reader: Reader = { table, rows, n, columns, cell, line, log };

  const id = yield* idsOf(reader);
  const accuracy = yield* lengths(reader, 'accuracy', 1, (v) => v > 0, 'a distance above 0');
  yield* roundings(reader, accuracy, lat);
  const dbh = yield* lengths(reader, 'dbh', 0.01, (v) => v > 0 && v <= 500, 'a diameter of a tree');
  if (at.dbh !== undefined && columns.unit.dbh === undefined && dbh.some((d) => !Number.isNaN(d)))
    log.plain(`"${table.columns[at.dbh]}" names no unit: diameters without one are taken as centimetres`);
  const form = yield* scores(reader, 'form');
  const crown = yield* scores(reader, 'crown');
  const crop = yield* scores(reader, 'crop');
  const permission = yield* permissions(reader);

  const named = hasSpecies(columns);
  if (!named) log.plain('there is no column for the species; it is unknown in every row');
  const species = new Int16Array(n).fill(-1);
  const hybrid = new Int16Array(n).fill(-1);
  const speciesText = new Array<string>(n).fill('');
  const unsettled = new Unsettled();
  const speciesAt = speciesReader(table, columns, how.names);
  for (let i = 0; named && i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'species read' };
    const found = speciesAt(rows[i]);
    species[i] = found.resolved.species;
    hybrid[i] = found.resolved.hybrid;
    speciesText[i] = found.text;
    unsettled.add(found);
    if (found.resolved.note !== '') log.addOnce('species', line(i), 'species', found.resolved.note);
  }

  const text: Partial<Record<TextField, string[]>> = {
    file: new Array<string>(n).fill(file),
    row: Array.from({ length: n }, (_, i) => String(line(i))),
  };
  for (const field of TEXTS) {
    if (at[field] === undefined) continue;
    const once = interner();
    const change = field === 'date' ? yield* dates(reader) : null;
    const cells = new Array<string>(n);
    for (let i = 0; i < n; i++) {
      if (i % STRIDE === 0) yield { done: i, total: n, what: 'records read' };
      cells[i] = once(change ? change(i) : cell(i, field));
    }
    text[field] = cells;
  }
  return {
    records: { n, id, accuracy, species, hybrid, speciesText, dbh, form, crown, crop, permission, text },
    unsettled: unsettled.list(),
  };
}

interface Reader {
  readonly table: Table;
  readonly rows: Int32Array;
  readonly n: number;
  readonly columns: Columns;
  readonly cell: (i: number, field: Field) => string;
  readonly line: (i: number) => number;
  readonly log: Log;
}

function* idsOf({ n, cell, line, log, columns }: Reader): Steps<string[]> {
  const id = new Array<string>(n).fill('');
  const written = new Set<string>();
  for (let i = 0; columns.at.id !== undefined && i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'numbers of trees read' };
    id[i] = cell(i, 'id');
    if (id[i] !== '') written.add(id[i]);
  }
  if (written.size === n) return id;
  const ids = new Ids(written);
  for (let i = 0; i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'numbers of trees read' };
    const made = ids.next(id[i], `row ${line(i)}`);
    if (id[i] !== '' && made !== id[i])
      log.add('repeated id', line(i), 'id', `"${id[i]}" is there already; called "${made}"`);
    id[i] = made;
  }
  return id;
}

/** How the column writes its numbers, told by all of it. */
function* styleOf({ table, rows, n, columns, log }: Reader, field: Field): Steps<NumberStyle> {
  const column = columns.at[field];
  const votes = new StyleVotes();
  for (let i = 0; column !== undefined && i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'numbers looked at' };
    votes.add(table.cell(rows[i], column));
  }
  const style = votes.style();
  if (style.doubt !== '' && column !== undefined)
    log.plain(
      `"${table.columns[column]}": the comma in "${style.doubt}" is read as ${style.comma === 'decimal' ? 'decimal' : 'a separator of thousands'}; nothing in the column decides it`,
    );
  return style;
}

/** A column of lengths in `stored` metres. */
function* lengths(
  reader: Reader,
  field: 'accuracy' | 'dbh',
  stored: number,
  valid: (v: number) => boolean,
  wanted: string,
): Steps<Float64Array> {
  const { n, columns, cell, line, log } = reader;
  const values = new Float64Array(n).fill(NaN);
  if (columns.at[field] === undefined) return values;
  const style = yield* styleOf(reader, field);
  const unit = columns.unit[field] ?? stored;
  for (let i = 0; i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'measures read' };
    const written = cell(i, field);
    if (written === '') continue;
    const value = lengthIn(written, unit, stored, style);
    if (valid(value)) values[i] = value;
    else log.add(field, line(i), field, `"${written}" is not ${wanted}; left empty`);
  }
  return values;
}

/** A length in `stored` metres: "22", "22 in", "22,5", "± 5 m". `unit` (metres) holds where the cell names none. */
function lengthIn(cell: string, unit: number, stored: number, style: NumberStyle): number {
  const parts = /^[±~≈<]?\s*([+-]?(?:\d[\d.,\s]*)?\d)\s*(\D*)$/.exec(cell);
  if (!parts) return NaN;
  const written = parts[2].trim().replace(/\.$/, '');
  const metres = written === '' ? unit : metresIn(written);
  return metres === null ? NaN : numberIn(parts[1], style) * (metres / stored);
}

/** Where no accuracy is recorded, half the diagonal of the cell to which the coordinates were rounded. */
function* roundings(reader: Reader, accuracy: Float64Array, lat: Float64Array): Steps<void> {
  const { n, columns, cell, line, log } = reader;
  if (columns.at.precision === undefined) return;
  for (let i = 0; i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'measures read' };
    const written = cell(i, 'precision');
    if (written === '') continue;
    const step = numberIn(written);
    if (!(step > 0 && step <= 1))
      log.add('precision', line(i), 'precision', `"${written}" is not a part of a degree; not used`);
    else if (Number.isNaN(accuracy[i]) && !Number.isNaN(lat[i]))
      accuracy[i] = (step * DEGREE * Math.hypot(1, Math.cos((lat[i] * Math.PI) / 180))) / 2;
  }
}

function* scores(reader: Reader, field: 'form' | 'crown' | 'crop'): Steps<Float64Array> {
  const { n, columns, cell, line, log } = reader;
  const values = new Float64Array(n).fill(NaN);
  if (columns.at[field] === undefined) return values;
  for (let i = 0; i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'scores read' };
    const written = cell(i, field);
    if (written === '') continue;
    const score = numberIn(written);
    if (score >= 0 && score <= 4) values[i] = score;
    else log.add(field, line(i), field, `"${written}" is not a score from 0 to 4; left empty`);
  }
  return values;
}

function* permissions({ n, columns, cell, line, log }: Reader): Steps<Uint8Array> {
  const values = new Uint8Array(n).fill(PERMISSIONS.indexOf('unknown'));
  for (let i = 0; columns.at.permission !== undefined && i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'permissions read' };
    const written = cell(i, 'permission');
    const access = permissionOf(written);
    if (access === null)
      log.add('permission', line(i), 'permission', `"${written}" is not understood; taken as unknown`);
    values[i] = PERMISSIONS.indexOf(access ?? 'unknown');
  }
  return values;
}

function permissionOf(text: string): Permission | null {
  const plain = text.toLowerCase();
  if (plain === '' || /^(unknown|\?|n\/?a|not asked|-)$/.test(plain)) return 'unknown';
  if (/^(refused|denied|no|n|false|not granted|no access)$/.test(plain)) return 'refused';
  if (/^(asked|pending|requested|waiting)$/.test(plain)) return 'asked';
  if (/^(granted|yes|y|true|ok|given|permitted|public)$/.test(plain)) return 'granted';
  return null;
}

function* dates({ n, cell, line, log }: Reader): Steps<(i: number) => string> {
  const votes = new OrderVotes();
  for (let i = 0; i < n; i++) {
    if (i % STRIDE === 0) yield { done: i, total: n, what: 'dates looked at' };
    votes.add(cell(i, 'date'));
  }
  const order = votes.order();
  const known = new Map<string, string>();
  return (i) => {
    const written = cell(i, 'date');
    const kept = known.get(written);
    if (kept !== undefined) return kept;
    const { text, open } = dateIn(written, order);
    if (open)
      log.add(
        'date',
        line(i),
        'date',
        `"${written}" may be read with the day or the month first; kept as written`,
      );
    else if (known.size < 4096) known.set(written, text);
    return text;
  };
}

/** One string for all cells that say the same, as long as they are few. */
function interner(): (text: string) => string {
  const known = new Map<string, string>();
  return (text) => {
    const kept = known.get(text);
    if (kept !== undefined) return kept;
    if (known.size < 4096) known.set(text, text);
    return text;
  };
}
