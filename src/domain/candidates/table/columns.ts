/** Which column of a table holds which field of a candidate, and why. */
import type { Table } from '../../base/table.ts';
import { resolveSpecies } from '../../species/species.ts';
import { DARWIN_CORE, FIELDS, FIELD_NAMES, type Field } from './fields.ts';
import { angleHeader, gridHeader, hemisphereHeader, metresIn, plainHeader } from './headers.ts';
import { pairOf } from './pairs.ts';
import { utmZone } from './utm.ts';

export interface Columns {
  /** Index of the column of each field that the table has. */
  readonly at: Readonly<Partial<Record<Field, number>>>;
  /** Why a column was taken that the mapping does not name. */
  readonly reason: Readonly<Partial<Record<Field, string>>>;
  /** Metres in one unit of the column, where its header names a unit. */
  readonly unit: Readonly<Partial<Record<Field, number>>>;
  /** Sign that the header gives to longitudes and latitudes without one ("Long W"). */
  readonly sign: Readonly<Partial<Record<Field, 1 | -1>>>;
  /** Columns of minutes and seconds that belong to a column of degrees; empty where one column holds all. */
  readonly minutes: Readonly<Partial<Record<'lon' | 'lat', readonly number[]>>>;
  /** Zone and datum of the UTM grid where headers name them ("NAD83 UTM 16N E"), else ''. */
  readonly zone: string;
  readonly datum: string;
  /** Columns of verbatim coordinates (Darwin Core) for rows in which the decimal degrees are empty. */
  readonly verbatim: Readonly<Record<'lon' | 'lat' | 'coordinates', number | undefined>>;
  /** Names in the mapping that are no column of the table, or no field. */
  readonly missing: ReadonlyArray<{ readonly field: string; readonly column: string }>;
}

/** The ways in which a table can say where a tree is; the first that is complete is used. */
const SCHEMES: ReadonlyArray<readonly Field[]> = [
  ['lon', 'lat'],
  ['easting', 'northing'],
  ['wkt'],
  ['coordinates'],
];
export const POSITION_FIELDS: readonly Field[] = SCHEMES.flat();
const DARWIN = new Set(DARWIN_CORE.map((term) => term.toLowerCase()));
/** Headers too vague to be believed unless the cells bear them out. */
const VAGUE = new Set(['zone', 'gps', 'position', 'utm', 'geom', 'geometry', 'shape', 'thegeom']);
/** Share of the cells with something in them that must be read as the field, where cells alone decide. */
const MOST = 0.8;
/** Rows looked at. */
const SAMPLE = 200;

/** Cells looked at: of a table of thousands of columns a few rows do. */
const SAMPLE_CELLS = 50_000;
/** In a wider table only headers tell the columns. */
const WIDEST_LOOKED_INTO = 300;

/** The first rows of a table, by which columns are guessed. */
export const sampleOf = (table: Table): string[][] =>
  Array.from(
    { length: Math.min(SAMPLE, table.n, Math.ceil(SAMPLE_CELLS / table.columns.length)) },
    (_, row) => table.columns.map((_name, column) => table.cell(row, column)),
  );

const WKT =
  /^\s*(SRID=\d+;)?\s*(MULTI)?(POINT|LINESTRING|POLYGON)\s*(Z|M|ZM)?\s*(\(|EMPTY)|^\s*GEOMETRYCOLLECTION/i;
export const looksLikeWkt = (text: string): boolean => WKT.test(text);

/**
 * Columns of a table by field: what the mapping says, else what the headers say, else what the cells look like. No column
 * serves two fields, and a mapping of a field to "" leaves it out. Of the ways to say a position one is guessed.
 *
 * @param sample first rows of the table, cells as written; may be empty.
 */
export function columnsOf(
  headers: readonly string[],
  mapping: Readonly<Record<string, string>> = {},
  sample: ReadonlyArray<readonly string[]> = [],
): Columns {
  const at: Partial<Record<Field, number>> = {};
  const reason: Partial<Record<Field, string>> = {};
  const unit: Partial<Record<Field, number>> = {};
  const sign: Partial<Record<Field, 1 | -1>> = {};
  const missing: Array<{ field: string; column: string }> = [];
  const taken = new Set<number>();
  const plains = headers.map(plainHeader);
  const grids = headers.map(gridHeader);
  const rows = sample.slice(0, SAMPLE);
  const looked = new Map<number, string[]>();
  const cells = (column: number): string[] => {
    const known = looked.get(column) ?? rows.map((r) => (r[column] ?? '').trim()).filter((c) => c !== '');
    looked.set(column, known);
    return known;
  };
  const take = (field: Field, column: number, why: string): void => {
    at[field] = column;
    taken.add(column);
    if (why !== '') reason[field] = why;
    const metres = metresIn(plains[column].unit);
    if (metres !== null) unit[field] = metres;
    const hemisphere = field === 'lon' || field === 'lat' ? hemisphereHeader(headers[column]) : null;
    if (hemisphere) sign[field] = hemisphere.sign;
  };
  const refused = new Set<Field>();
  for (const [field, column] of Object.entries(mapping)) {
    if (!FIELD_NAMES.has(field)) missing.push({ field, column });
    else if (column === '') refused.add(field as Field);
    else if (!headers.includes(column)) missing.push({ field, column });
    else take(field as Field, headers.indexOf(column), '');
  }
  const settled = SCHEMES.find((s) => s.every((f) => at[f] !== undefined));
  const open = (field: Field): boolean =>
    at[field] === undefined &&
    !refused.has(field) &&
    (!settled || settled.includes(field) || !POSITION_FIELDS.includes(field));

  const byPlain = new Map<string, number[]>();
  plains.forEach(({ plain }, i) => {
    for (const p of new Set([plain, hemisphereHeader(headers[i])?.plain ?? plain]))
      byPlain.set(p, [...(byPlain.get(p) ?? []), i]);
  });
  const named = (field: Field, usual: readonly string[]): void => {
    if (!open(field)) return;
    const found = usual.flatMap((u) =>
      (byPlain.get(u.toLowerCase()) ?? []).filter((i) => !taken.has(i)).map((i) => ({ i, u })),
    );
    const believable = found.filter(({ i, u }) => !VAGUE.has(u) || borneOut(field, cells(i)));
    // An empty column ("decimalLatitude" beside a filled "verbatimLatitude") is taken only where there is no other.
    const best = believable.find(({ i }) => rows.length === 0 || cells(i).length > 0) ?? believable[0];
    if (!best) return;
    const term = DARWIN.has(best.u.toLowerCase());
    take(
      field,
      best.i,
      term ? `Darwin Core term ${best.u}` : `header "${headers[best.i].trim()}" is usual for it`,
    );
  };
  for (const axis of ['easting', 'northing'] as const) {
    const i = grids.findIndex((g, k) => g?.axis === axis && !taken.has(k));
    if (i >= 0 && open(axis)) take(axis, i, `header "${headers[i].trim()}" names a UTM grid`);
  }
  const minutes: Partial<Record<'lon' | 'lat', number[]>> = {};
  const angles = headers.map(angleHeader);
  for (const axis of ['lon', 'lat'] as const) {
    const [d, m, s] = (['degrees', 'minutes', 'seconds'] as const).map((part) =>
      angles.findIndex((a, i) => a?.axis === axis && a.part === part && (!taken.has(i) || i === at[axis])),
    );
    if (d < 0 || m < 0) continue;
    if (open(axis)) take(axis, d, `degrees, with minutes in "${headers[m].trim()}"`);
    if (at[axis] !== d) continue;
    minutes[axis] = s < 0 ? [m] : [m, s];
    for (const i of minutes[axis]) taken.add(i);
  }
  for (const { field, headers: usual } of FIELDS) named(field, usual);
  if (headers.length <= WIDEST_LOOKED_INTO) byCells(headers, cells, taken, open, at, take);
  dropOthers(at, reason, mapping, taken);
  const free = (term: string): number | undefined => byPlain.get(term)?.find((i) => !taken.has(i));
  const grid = [at.easting, at.northing].map((i) => (i === undefined ? null : grids[i]));
  return {
    at,
    reason,
    unit,
    sign,
    minutes,
    zone: grid.find((g) => g?.zone)?.zone ?? '',
    datum: grid.find((g) => g?.datum)?.datum ?? '',
    verbatim: {
      lon: free('verbatimlongitude'),
      lat: free('verbatimlatitude'),
      coordinates: free('verbatimcoordinates'),
    },
    missing,
  };
}

const shareOf = (cells: readonly string[], is: (cell: string) => boolean): number =>
  cells.length === 0 ? 0 : cells.filter(is).length / cells.length;

function borneOut(field: Field, cells: readonly string[]): boolean {
  if (field === 'wkt') return shareOf(cells, looksLikeWkt) >= MOST;
  // A seed zone ("12", "OH-1") is told from a zone of the grid only by what is no zone at all.
  if (field === 'utmZone')
    return cells.length === 0 || shareOf(cells, (c) => utmZone(c, NaN) !== null) >= MOST;
  if (field === 'coordinates') return shareOf(cells, (c) => pairOf(c) !== null) >= MOST;
  return true;
}

/** Positions and species that no header tells, by what stands in the cells. */
function byCells(
  headers: readonly string[],
  cells: (column: number) => string[],
  taken: ReadonlySet<number>,
  open: (field: Field) => boolean,
  at: Readonly<Partial<Record<Field, number>>>,
  take: (field: Field, column: number, why: string) => void,
): void {
  const complete = SCHEMES.some((s) => s.every((f) => at[f] !== undefined));
  const find = (is: (cell: string) => boolean): number =>
    headers.findIndex((_, i) => !taken.has(i) && shareOf(cells(i), is) >= MOST);
  if (!complete && open('wkt')) {
    const i = find(looksLikeWkt);
    if (i >= 0) return take('wkt', i, 'its cells are well-known text');
  }
  if (!complete && open('lon') && open('lat')) {
    const [lat, lon] = [/\d.*[NS]$|^[NS]\s*\d/i, /\d.*[EW]$|^[EW]\s*\d/i].map((letter) =>
      find((c) => letter.test(c) && !/[a-z]{2}/i.test(c) && /^\D*\d{1,3}\D/.test(c)),
    );
    if (lat >= 0 && lon >= 0 && lat !== lon) {
      take('lat', lat, 'its cells are degrees with N or S');
      take('lon', lon, 'its cells are degrees with E or W');
    }
  }
  if (!complete && at.lon === undefined && open('coordinates')) {
    const i = find((c) => pairOf(c) !== null);
    if (i >= 0) take('coordinates', i, 'its cells hold two coordinates');
  }
  if (
    at.species === undefined &&
    at.commonName === undefined &&
    at.epithet === undefined &&
    open('species')
  ) {
    const i = find((c) => !/^\d+$/.test(c) && resolveSpecies(c).species >= 0);
    if (i >= 0) take('species', i, 'its cells are names of oaks');
  }
}

/** Guessed columns of the ways of saying a position that are not used, and of a zone without a grid, are given back. */
function dropOthers(
  at: Partial<Record<Field, number>>,
  reason: Partial<Record<Field, string>>,
  mapping: Readonly<Record<string, string>>,
  taken: Set<number>,
): void {
  const drop = (field: Field): void => {
    if (at[field] === undefined || mapping[field]) return;
    taken.delete(at[field]);
    delete at[field];
    delete reason[field];
  };
  const used = SCHEMES.find((s) => s.every((f) => at[f] !== undefined));
  for (const field of POSITION_FIELDS) if (used && !used.includes(field)) drop(field);
  // One letter alone is no axis of a grid ("N" may be a count).
  if (!used) for (const field of ['easting', 'northing'] as const) drop(field);
  if (at.easting === undefined && at.coordinates === undefined) drop('utmZone');
}
