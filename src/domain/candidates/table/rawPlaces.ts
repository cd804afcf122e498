/** Coordinates of the rows of a table as they stand there, whatever columns hold them, each with the system that it is in. */
import type { Steps } from '../../base/steps.ts';
import type { Table } from '../../base/table.ts';
import type { Columns } from './columns.ts';
import { degrees } from './degrees.ts';
import type { Field } from './fields.ts';
import type { Log } from './log.ts';
import { numberIn, StyleVotes, type NumberStyle } from './numbers.ts';
import { pairOf } from './pairs.ts';
import type { TableReading } from './reading.ts';
import { datumOf, utmCode, utmZone, type Datum } from './utm.ts';

/** Rows between two steps. */
export const STRIDE = 20_000;

/** Degrees WGS 84: no system is asked for. */
export const DEGREES = '';
/** Grid coordinates without a zone. */
export const NO_ZONE = '?';

/** Coordinates as they stand in the table, row by row. */
export interface Raw {
  readonly rows: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Index into `systems` by row. */
  readonly system: Uint16Array;
  /** Codes of the systems met; DEGREES among them. */
  readonly systems: readonly string[];
}

/** @param inMetres the layer's coordinate system is not one of degrees. */
export function* rawPlaces(
  table: Table,
  columns: Columns,
  how: TableReading,
  inMetres: boolean,
  log: Log,
): Steps<Raw> {
  const { at } = columns;
  const n = table.n;
  const cell = (row: number, field: Field): string => {
    const column = at[field];
    return column === undefined ? '' : table.cell(row, column).trim();
  };
  const rows = new Int32Array(n);
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  const system = new Uint16Array(n);
  const systems: string[] = [];
  const indexOf = new Map<string, number>();
  const read = yield* reader(table, columns, how, inMetres, cell, log);
  const datums = new Map<string, string>();
  let found = 0;
  for (let row = 0; row < n; row++) {
    if (row % STRIDE === 0) yield { done: row, total: n, what: 'positions read' };
    if (at.status !== undefined && /^absent$/i.test(cell(row, 'status'))) {
      log.add('absent', table.line(row), 'status', 'the species was looked for and not found; row left out');
      continue;
    }
    const place = read(row);
    if (!place) continue;
    let code = place.system;
    if (code === DEGREES && how.crs) code = how.crs;
    else if (code === DEGREES && at.datum !== undefined) {
      const written = cell(row, 'datum');
      let known = datums.get(written);
      if (known === undefined) {
        known = geographicCode(written, table.line(row), log);
        datums.set(written, known);
      }
      code = known;
    }
    let index = indexOf.get(code);
    if (index === undefined) {
      index = systems.push(code) - 1;
      indexOf.set(code, index);
    }
    rows[found] = row;
    x[found] = place.x;
    y[found] = place.y;
    system[found] = index;
    found++;
  }
  return {
    rows: rows.subarray(0, found),
    x: x.subarray(0, found),
    y: y.subarray(0, found),
    system: system.subarray(0, found),
    systems,
  };
}

/** NAD83 lies within a metre or two of WGS 84 in North America and is read as it; others are asked for by code. */
function geographicCode(written: string, line: number, log: Log): string {
  const datum = datumOf(written);
  if (datum === null)
    log.addOnce('datum', line, 'datum', `"${written}" is not a datum that is known; taken as WGS 84`);
  if (datum === 'NAD27') return 'EPSG:4267';
  return datum === null || datum === '' || datum === 'WGS84' || datum === 'NAD83' ? DEGREES : datum;
}

interface RawPlace {
  readonly x: number;
  readonly y: number;
  readonly system: string;
}

/** The function that reads the position of one row, as the columns at hand ask for it; null with a note where there is none. */
function* reader(
  table: Table,
  columns: Columns,
  how: TableReading,
  metres: boolean,
  cell: (row: number, field: Field) => string,
  log: Log,
): Steps<(row: number) => RawPlace | null> {
  const { at } = columns;
  const leftOut = (row: number, field: Field, written: string, wanted: string): null => {
    // A line without anything in it is no row.
    if (written === '' && table.columns.every((_, c) => table.cell(row, c).trim() === '')) return null;
    log.add(
      'position',
      table.line(row),
      field,
      written === '' ? 'no value; row left out' : `"${short(written)}" is not ${wanted}; row left out`,
    );
    return null;
  };
  const grid = (x: number, y: number, zone: string, row: number): RawPlace | null => {
    if (how.crs) return { x, y, system: how.crs };
    const written = zone || columns.zone;
    if (written === '') return { x, y, system: NO_ZONE };
    const datum = datumOf(at.datum === undefined ? columns.datum : cell(row, 'datum')) || 'WGS84';
    const code = datum.startsWith('EPSG') ? datum : codeOf(written, y, datum as Datum);
    if (code === null) return leftOut(row, 'utmZone', written, `a UTM zone on ${datum}`);
    return { x, y, system: code };
  };
  const zones = new Map<string, string | null>();
  const codeOf = (zone: string, northing: number, datum: Datum): string | null => {
    const key = `${zone}|${datum}|${Math.floor(northing / 1000)}`;
    const known = zones.get(key);
    if (known !== undefined) return known;
    const parsed = utmZone(zone, northing);
    const code = parsed && utmCode(parsed, datum);
    if (zones.size < 50_000) zones.set(key, code);
    return code;
  };
  if (at.lon !== undefined && at.lat !== undefined) {
    const styles = { lon: yield* styleOf(table, at.lon, metres), lat: yield* styleOf(table, at.lat, metres) };
    const value = (text: string, field: 'lon' | 'lat'): number => {
      if (metres) {
        const inGrid = numberIn(text, styles[field]);
        return Number.isNaN(inGrid) ? degrees(text) : inGrid;
      }
      const angle = degrees(text);
      if (Number.isNaN(angle)) return numberIn(text, styles[field]);
      const sign = columns.sign[field];
      return sign === -1 && angle > 0 && !/[NSEW]/i.test(text) ? -angle : angle;
    };
    const whole = (row: number, field: 'lon' | 'lat'): string => {
      const parts = columns.minutes[field];
      const first = cell(row, field);
      return parts ? [first, ...parts.map((c) => table.cell(row, c).trim())].join(' ').trim() : first;
    };
    const verbatim = (row: number): RawPlace | null => {
      const [lon, lat, both] = [columns.verbatim.lon, columns.verbatim.lat, columns.verbatim.coordinates].map(
        (c) => (c === undefined ? '' : table.cell(row, c).trim()),
      );
      const [x, y] = [degrees(lon), degrees(lat)];
      const pair = Number.isNaN(x) || Number.isNaN(y) ? pairOf(both) : { x, y, zone: '' };
      if (!pair) return null;
      log.addOnce(
        'verbatim',
        table.line(row),
        'lon, lat',
        'no decimal degrees; the position is read from its verbatim column, here and in other rows like it',
      );
      return pair.zone === ''
        ? { x: pair.x, y: pair.y, system: DEGREES }
        : grid(pair.x, pair.y, pair.zone, row);
    };
    return (row) => {
      const [lon, lat] = [whole(row, 'lon'), whole(row, 'lat')];
      const instead = lon === '' && lat === '' && !metres ? verbatim(row) : null;
      if (instead) return instead;
      const [x, y] = [value(lon, 'lon'), value(lat, 'lat')];
      if (Number.isNaN(x)) leftOut(row, 'lon', lon, 'a number of degrees');
      if (Number.isNaN(y) && !(lon === '' && lat === '')) leftOut(row, 'lat', lat, 'a number of degrees');
      if (Number.isNaN(x) || Number.isNaN(y)) return null;
      // Letters leave no doubt which is which.
      if (lon.length > 1 && !isDigit(lon) && /[NS]$|^[NS]/i.test(lon) && /[EW]$|^[EW]/i.test(lat))
        return { x: y, y: x, system: DEGREES };
      return { x, y, system: DEGREES };
    };
  }
  if (at.easting !== undefined && at.northing !== undefined) {
    const east = yield* styleOf(table, at.easting, true);
    const north = yield* styleOf(table, at.northing, true);
    return (row) => {
      const [e, n] = [cell(row, 'easting'), cell(row, 'northing')];
      const [x, y] = [numberIn(bare(e), east), numberIn(bare(n), north)];
      if (Number.isNaN(x)) return leftOut(row, 'easting', e, 'a number of metres');
      if (Number.isNaN(y)) return leftOut(row, 'northing', n, 'a number of metres');
      return grid(x, y, cell(row, 'utmZone'), row);
    };
  }
  if (at.wkt !== undefined) {
    return (row) => {
      const text = cell(row, 'wkt');
      const point = text === '' ? null : (how.wkt?.(text) ?? null);
      if (!point) return leftOut(row, 'wkt', text, 'a point as well-known text');
      return { x: point[0], y: point[1], system: DEGREES };
    };
  }
  return (row) => {
    const text = cell(row, 'coordinates');
    const pair = text === '' ? null : pairOf(text);
    if (!pair) return leftOut(row, 'coordinates', text, 'a latitude and a longitude');
    return pair.zone === ''
      ? { x: pair.x, y: pair.y, system: DEGREES }
      : grid(pair.x, pair.y, pair.zone, row);
  };
}

/** Ends in a digit and does not begin with a letter, as most cells do. */
const isDigit = (text: string): boolean => text.charCodeAt(0) <= 57 && text.charCodeAt(text.length - 1) <= 57;

const short = (text: string): string => (text.length > 60 ? `${text.slice(0, 60)}…` : text);

/** "684000 m E", "684000E" without what stands behind the number. */
const bare = (text: string): string => text.replace(/\s*m?\s*[EN]?$/i, '');

/** How a column of grid coordinates writes its numbers; degrees need no such thing, since a comma in them is decimal. */
function* styleOf(table: Table, column: number, metres: boolean): Steps<NumberStyle> {
  const votes = new StyleVotes();
  for (let row = 0; row < table.n; row++) {
    if (row % STRIDE === 0) yield { done: row, total: table.n, what: 'numbers looked at' };
    votes.add(table.cell(row, column));
  }
  return votes.style(metres ? 'thousands' : 'decimal');
}
