import type { Spot } from '../base/geo.ts';
import { fail, ok, type Note, type Result } from '../base/result.ts';
import { rowsOf, tableOf, type Table } from '../base/table.ts';
import { resolveSpecies, type ResolvedSpecies } from '../species/species.ts';
import { PERMISSIONS, type Candidates, type Permission, type TextField } from './candidates.ts';
import { columnsOf } from './columns.ts';
import type { Field } from './fields.ts';
import { metresIn } from './headers.ts';
import { degrees } from './degrees.ts';
import { duplicates } from './duplicates.ts';

export interface CandidatesRead {
  readonly candidates: Candidates;
  readonly notes: readonly Note[];
}

interface Rows {
  readonly columns: readonly string[];
  readonly rows: ReadonlyArray<readonly string[]>;
}

/** Notes of one kind that are given row by row; the rest are counted. */
const MOST_NOTES = 50;
/** Where oaks of the region stand (degrees): only to tell a lost sign or swapped columns from a distant place. */
const LATS: readonly [number, number] = [15, 60];
const LONS: readonly [number, number] = [50, 130];

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
];

/**
 * Candidates from a table. Columns are found by their headers (see columns.ts) unless `mapping` (field -> header) names them.
 * Units: accuracy in metres, diameter in centimetres, unless a header or cell names another ("dbh_in", "22 in", "accuracy_ft").
 * A row without a usable position is left out; another bad value is left empty; each is noted with its row as a spreadsheet
 * counts it (the header is row 1). Repeated ids get a suffix. Longitude and latitude in each other's place are put right,
 * and so is a longitude that lost its minus sign among others that have it; both are noted.
 *
 * Fails when the table has no position, a mapped column does not exist, or no row is usable.
 */
export function candidatesFrom(
  given: Table,
  mapping: Readonly<Record<string, string>> | undefined,
  file: string,
): Result<CandidatesRead> {
  const table: Rows = { columns: given.columns, rows: rowsOf(given) };
  const { at, unit, missing } = columnsOf(table.columns, mapping);
  if (missing.length > 0) {
    const { field, column } = missing[0];
    return fail(
      'content',
      file,
      `the plan maps "${field}" to a column "${column}" that is not there`,
      `Columns are: ${table.columns.join(', ')}.`,
    );
  }
  if (at.lon === undefined || at.lat === undefined) {
    const lacking =
      at.lon === undefined ? (at.lat === undefined ? 'longitude and latitude' : 'longitude') : 'latitude';
    return fail(
      'content',
      file,
      `the table has no column for ${lacking} (columns: ${table.columns.join(', ') || 'none'})`,
      'Name the columns "lon" and "lat" (or decimalLongitude and decimalLatitude), in degrees WGS 84.',
    );
  }
  const log = new Log(file);
  const cell = (row: readonly string[], field: Field): string => {
    const column = at[field];
    return column === undefined ? '' : (row[column] ?? '').trim();
  };
  const places = positions(table, (row, field) => cell(row, field), log);
  const rows = places.rows;
  const n = rows.length;
  if (n === 0) {
    return fail(
      'content',
      file,
      `none of its ${table.rows.length} rows has a usable position`,
      'Give longitude and latitude in degrees (WGS 84), such as -84.51 and 37.98.',
    );
  }

  const id: string[] = [];
  const names = new IdMaker(table.rows.map((row) => cell(row, 'id')));
  const accuracy = new Float64Array(n).fill(NaN);
  const species = new Int16Array(n).fill(-1);
  const hybrid = new Int16Array(n).fill(-1);
  const speciesText: string[] = [];
  const dbh = new Float64Array(n).fill(NaN);
  const scores = {
    form: new Float64Array(n).fill(NaN),
    crown: new Float64Array(n).fill(NaN),
    crop: new Float64Array(n).fill(NaN),
  };
  const permission = new Uint8Array(n);
  const text: Partial<Record<TextField, string[]>> = { file: new Array<string>(n).fill(file), row: [] };
  for (const field of TEXTS) if (at[field] !== undefined) text[field] = [];
  const resolved = new Map<string, ResolvedSpecies>();
  const named = at.species !== undefined || at.commonName !== undefined;
  if (!named) log.plain('there is no column for the species; it is unknown in every row');

  for (let i = 0; i < n; i++) {
    const row = table.rows[rows[i]];
    const number = rows[i] + 2;
    text.row?.push(String(number));
    const written = cell(row, 'id');
    const made = names.next(written, number);
    if (written !== '' && made !== written)
      log.add('repeated id', number, 'id', `"${written}" is there already; called "${made}"`);
    id.push(made);

    accuracy[i] = lengthIn(cell(row, 'accuracy'), unit.accuracy ?? 1, 1);
    if (cell(row, 'accuracy') !== '' && !(accuracy[i] > 0)) {
      log.add(
        'accuracy',
        number,
        'accuracy',
        `"${cell(row, 'accuracy')}" is not a distance above 0; left empty`,
      );
      accuracy[i] = NaN;
    }
    dbh[i] = lengthIn(cell(row, 'dbh'), unit.dbh ?? 0.01, 0.01);
    if (cell(row, 'dbh') !== '' && !(dbh[i] > 0 && dbh[i] <= 500)) {
      log.add('dbh', number, 'dbh', `"${cell(row, 'dbh')}" is not a diameter of a tree; left empty`);
      dbh[i] = NaN;
    }
    for (const field of ['form', 'crown', 'crop'] as const) {
      const given = cell(row, field);
      if (given === '') continue;
      const score = Number(given);
      if (score >= 0 && score <= 4) scores[field][i] = score;
      else log.add(field, number, field, `"${given}" is not a score from 0 to 4; left empty`);
    }
    const access = permissionOf(cell(row, 'permission'));
    if (access === null)
      log.add(
        'permission',
        number,
        'permission',
        `"${cell(row, 'permission')}" is not understood; taken as unknown`,
      );
    permission[i] = PERMISSIONS.indexOf(access ?? 'unknown');

    const found = speciesOf(cell(row, 'species'), cell(row, 'commonName'), resolved);
    species[i] = found.resolved.species;
    hybrid[i] = found.resolved.hybrid;
    speciesText.push(found.text);
    if (found.resolved.note !== '' && named) log.addOnce('species', number, 'species', found.resolved.note);
    for (const field of TEXTS) text[field]?.push(cell(row, field));
  }
  if (at.dbh !== undefined && unit.dbh === undefined && dbh.some((d) => !Number.isNaN(d))) {
    log.plain(`"${table.columns[at.dbh]}" names no unit: diameters without one are taken as centimetres`);
  }
  const records = {
    n,
    id,
    lon: places.lon,
    lat: places.lat,
    accuracy,
    species,
    hybrid,
    speciesText,
    dbh,
    ...scores,
    permission,
    text,
  };
  return ok({ candidates: { ...records, duplicateOf: duplicates(records) }, notes: log.notes() });
}

/** Candidates from the points of a spatial file: their attributes are the columns. */
export function candidatesFromSpots(
  spots: readonly Spot[],
  mapping: Readonly<Record<string, string>> | undefined,
  file: string,
): Result<CandidatesRead> {
  const attributes = [...new Set(spots.flatMap((s) => Object.keys(s.attributes)))];
  // Names that no attribute can have by accident: the position is the point's own.
  const [lon, lat] = ['\u0000lon', '\u0000lat'];
  const columns = [...attributes, lon, lat];
  const rows = spots.map((s) => [
    ...attributes.map((a) => {
      const value = s.attributes[a];
      return value === null || value === undefined ? '' : String(value);
    }),
    String(s.lon),
    String(s.lat),
  ]);
  return candidatesFrom(tableOf(columns, rows), { ...mapping, lon, lat }, file);
}

function positions(
  table: Rows,
  cell: (row: readonly string[], field: 'lon' | 'lat') => string,
  log: Log,
): { rows: number[]; lon: Float64Array; lat: Float64Array } {
  const rows: number[] = [];
  const lon: number[] = [];
  const lat: number[] = [];
  const within = (v: number, [a, b]: readonly [number, number]): boolean => v >= a && v <= b;
  let west = 0;
  let east = 0;
  table.rows.forEach((row, r) => {
    // A line without anything in it is no row.
    if (row.every((c) => c.trim() === '')) return;
    const number = r + 2;
    let x = degrees(cell(row, 'lon'));
    let y = degrees(cell(row, 'lat'));
    for (const [field, value] of [
      ['lon', x],
      ['lat', y],
    ] as const) {
      if (!Number.isNaN(value)) continue;
      const written = cell(row, field);
      log.add(
        'position',
        number,
        field,
        written === '' ? 'no value; row left out' : `"${written}" is not a number of degrees; row left out`,
      );
    }
    if (Number.isNaN(x) || Number.isNaN(y)) return;
    const swapped = within(x, LATS) && (within(-y, LONS) || (y > 90 && within(y, LONS)));
    if (swapped) {
      [x, y] = [y, x];
      log.add('swapped', number, 'lon, lat', 'longitude and latitude stand in each other’s place; put right');
    }
    if (Math.abs(x) > 180 || Math.abs(y) > 90) {
      log.add(
        'position',
        number,
        Math.abs(y) > 90 ? 'lat' : 'lon',
        `${Math.abs(y) > 90 ? y : x} is outside the earth; row left out`,
      );
      return;
    }
    if (within(y, LATS) && within(-x, LONS)) west++;
    if (within(y, LATS) && within(x, LONS)) east++;
    rows.push(r);
    lon.push(x);
    lat.push(y);
  });
  if (east > 0 && west > east) {
    lon.forEach((x, i) => {
      if (!within(lat[i], LATS) || !within(x, LONS)) return;
      lon[i] = -x;
      log.add(
        'sign',
        rows[i] + 2,
        'lon',
        `${x} has lost its minus sign (most rows lie west of Greenwich); taken as ${-x}`,
      );
    });
  } else if (east > 0) {
    log.plain(
      `${east} of ${lon.length} longitudes are positive, which is east of Greenwich; in North America they need a minus sign`,
    );
  }
  return { rows, lon: Float64Array.from(lon), lat: Float64Array.from(lat) };
}

/** A length in `stored` metres: "22", "22 in", "22,5". `unit` (metres) holds where the cell names none. */
function lengthIn(cell: string, unit: number, stored: number): number {
  const parts = cell.match(/^([+-]?\d+(?:[.,]\d+)?)\s*(\D*)$/);
  if (!parts) return NaN;
  const written = parts[2].trim().replace(/\.$/, '');
  const metres = written === '' ? unit : metresIn(written);
  return metres === null ? NaN : Number(parts[1].replace(',', '.')) * (metres / stored);
}

function permissionOf(text: string): Permission | null {
  const plain = text.toLowerCase();
  if (plain === '' || /^(unknown|\?|n\/?a|not asked|-)$/.test(plain)) return 'unknown';
  if (/^(refused|denied|no|n|false|not granted|no access)$/.test(plain)) return 'refused';
  if (/^(asked|pending|requested|waiting)$/.test(plain)) return 'asked';
  if (/^(granted|yes|y|true|ok|given|permitted|public)$/.test(plain)) return 'granted';
  return null;
}

function speciesOf(
  scientific: string,
  common: string,
  memo: Map<string, ResolvedSpecies>,
): { text: string; resolved: ResolvedSpecies } {
  const resolve = (name: string): ResolvedSpecies => {
    const known = memo.get(name) ?? resolveSpecies(name);
    memo.set(name, known);
    return known;
  };
  const first = resolve(scientific);
  if (common === '' || first.species >= 0) return { text: scientific, resolved: first };
  const second = resolve(common);
  return scientific === '' || second.species >= 0
    ? { text: scientific || common, resolved: second }
    : { text: scientific, resolved: first };
}

/** Unique ids: the written one, with a suffix where it is taken; "row 12" where there is none. */
class IdMaker {
  readonly #written: ReadonlySet<string>;
  readonly #used = new Set<string>();

  constructor(written: readonly string[]) {
    this.#written = new Set(written);
  }

  next(written: string, row: number): string {
    const base = written || `row ${row}`;
    let made = base;
    // A made-up id must not take one that a later row has in writing.
    for (let k = 2; this.#used.has(made) || (made !== written && this.#written.has(made)); k++)
      made = `${base}-${k}`;
    this.#used.add(made);
    return made;
  }
}

class Log {
  readonly #file: string;
  readonly #kinds = new Map<string, { notes: Note[]; more: number }>();
  readonly #once = new Set<string>();

  constructor(file: string) {
    this.#file = file;
  }

  add(kind: string, row: number, field: string, what: string): void {
    const entry = this.#kinds.get(kind) ?? { notes: [], more: 0 };
    if (entry.notes.length < MOST_NOTES)
      entry.notes.push({ where: `${this.#file}, row ${row}, ${field}`, what });
    else entry.more++;
    this.#kinds.set(kind, entry);
  }

  /** The first row of each text only: a misspelt species is one matter, not a thousand. */
  addOnce(kind: string, row: number, field: string, what: string): void {
    if (this.#once.has(what)) return;
    this.#once.add(what);
    this.add(kind, row, field, what);
  }

  plain(what: string): void {
    this.#kinds.set(what, { notes: [{ where: this.#file, what }], more: 0 });
  }

  notes(): Note[] {
    return [...this.#kinds].flatMap(([kind, { notes, more }]) =>
      more > 0
        ? [...notes, { where: this.#file, what: `${more} more rows of the same kind (${kind})` }]
        : notes,
    );
  }
}
