/** Where the rows of a table are: from degrees, grid coordinates, pairs in one cell or well-known text to longitude and latitude. */
import type { Box } from '../base/geo.ts';
import type { Mend, Offer } from '../base/mend.ts';
import { fail, missingCrs, ok, type Failure, type Result } from '../base/result.ts';
import { paced, type Steps } from '../base/steps.ts';
import type { System } from '../base/system.ts';
import type { Table } from '../base/table.ts';
import type { Work } from '../base/work.ts';
import type { Columns } from './columns.ts';
import { degrees } from './degrees.ts';
import type { Field } from './fields.ts';
import type { Log } from './log.ts';
import { extentOf, farRows, mendPlaces } from './mends.ts';
import { numberIn, StyleVotes, type NumberStyle } from './numbers.ts';
import { pairOf } from './pairs.ts';
import type { TableReading } from './reading.ts';
import { datumOf, utmCode, utmZone, type Datum } from './utm.ts';

/** Rows between two steps. */
export const STRIDE = 20_000;

export interface Places {
  /** Rows of the table that have a usable position, in order. */
  readonly rows: Int32Array;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  readonly offers: readonly Offer[];
}

/** Degrees WGS 84: no system is asked for. */
const DEGREES = '';
/** Grid coordinates without a zone. */
const NO_ZONE = '?';

/** Whether the table has columns that say where its rows are. */
export const hasPosition = ({ at }: Columns): boolean =>
  at.coordinates !== undefined ||
  at.wkt !== undefined ||
  (at.lon !== undefined && at.lat !== undefined) ||
  (at.easting !== undefined && at.northing !== undefined);

/**
 * Positions of all rows; one without a usable position is left out and noted. Mistakes over the whole table are mended where
 * the reading accepts it, else offered.
 */
export async function placesOf(
  table: Table,
  columns: Columns,
  how: TableReading,
  file: string,
  log: Log,
  work: Work,
): Promise<Result<Places>> {
  const given = how.crs ? await systemOf(how, how.crs, file) : null;
  if (given && !given.ok) return given;
  const inMetres = given !== null && !given.value.geographic;
  const raw = await paced(rawPlaces(table, columns, how, inMetres, log), work);
  const offers: Offer[] = [];
  const outside = gridWithoutSystem(raw, how);
  if (outside) return missingCrs(file, outside);
  const systems: Array<Result<System> | null> = [];
  for (const code of raw.systems)
    systems.push(code === DEGREES ? null : code === NO_ZONE ? noZone(file) : await systemOf(how, code, file));
  const turned = await paced(toDegrees(raw, systems, how, offers, log), work);
  if (!turned.ok) return turned;
  return ok(finish(table, raw, turned.value, how.mend ?? [], offers, log));
}

interface Raw {
  readonly rows: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Index into `systems` by row. */
  readonly system: Uint16Array;
  /** Codes of the systems met; DEGREES among them. */
  readonly systems: readonly string[];
}

function* rawPlaces(
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
    return (row) => {
      const [lon, lat] = [cell(row, 'lon'), cell(row, 'lat')];
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

/** Box of the coordinates where most of them are no degrees and nothing says what they are; null where that is not so. */
function gridWithoutSystem(raw: Raw, how: TableReading): Box | null {
  if (how.crs) return null;
  let outside = 0;
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < raw.x.length; i++) {
    const code = raw.systems[raw.system[i]];
    const [x, y] = [raw.x[i], raw.y[i]];
    const metres = Math.abs(x) > 360 && Math.abs(y) > 360;
    if (code !== NO_ZONE && !(code === DEGREES && metres)) continue;
    outside++;
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  }
  return outside * 2 > raw.x.length ? box : null;
}

interface Degrees {
  readonly lon: Float64Array;
  readonly lat: Float64Array;
}

function* toDegrees(
  raw: Raw,
  systems: ReadonlyArray<Result<System> | null>,
  how: TableReading,
  offers: Offer[],
  log: Log,
): Steps<Result<Degrees>> {
  const lon = raw.x.slice();
  const lat = raw.y.slice();
  for (const [index, code] of raw.systems.entries()) {
    const found = systems[index];
    if (!found) continue;
    const members = raw.system.reduce((sum, s) => sum + (s === index ? 1 : 0), 0);
    const at = new Int32Array(members);
    for (let i = 0, k = 0; i < raw.system.length; i++) if (raw.system[i] === index) at[k++] = i;
    if (!found.ok) {
      const told = settle(found.failure, code, how, members, raw, log);
      if (told) return { ok: false, failure: told };
      // Degrees on a datum that cannot be turned into WGS 84 stand as they are; grid coordinates mean nothing without it.
      if (!isDegreesCode(code)) for (const i of at) lon[i] = NaN;
      continue;
    }
    const system = found.value;
    const degreesThere = !system.geographic && looksLikeDegrees(raw, at);
    if (degreesThere && how.mend?.includes('degrees')) continue;
    if (degreesThere)
      offers.push({
        mend: 'degrees',
        what: `${members} positions are to be read in ${system.name}, which is not in degrees, but look like degrees; they can be read as degrees WGS 84`,
        extent: extentOf(raw.x, raw.y, (i) => raw.system[i] === index),
      });
    if (system.note) log.plain(`${system.name}, in which ${members} positions are given, ${system.note}`);
    const turnedRound = isUtm(code) && eastingsSwapped(raw, at);
    const [first, second] = turnedRound && how.mend?.includes('axes') ? [raw.y, raw.x] : [raw.x, raw.y];
    if (turnedRound && first === raw.x) offers.push(swapOffer(system, raw, at));
    for (let from = 0; from < members; from += STRIDE) {
      yield { done: from, total: members, what: 'positions turned into degrees' };
      const part = at.subarray(from, from + STRIDE);
      const turned = system.inverse(
        Float64Array.from(part, (i) => first[i]),
        Float64Array.from(part, (i) => second[i]),
      );
      part.forEach((i, k) => {
        lon[i] = turned.lon[k];
        lat[i] = turned.lat[k];
      });
    }
  }
  return ok({ lon, lat });
}

const noZone = (file: string): { ok: false; failure: Failure } =>
  fail(
    'crs',
    file,
    'has eastings and northings without a UTM zone',
    'Give the zone in a column ("16N"), or the coordinate system of the layer.',
  );

const systemOf = async (how: TableReading, code: string, file: string): Promise<Result<System>> =>
  how.systems?.(code) ?? fail('crs', file, `needs the coordinate system ${code}`, 'Open the layer.');

const isDegreesCode = (code: string): boolean => code === 'EPSG:4267' || code === 'EPSG:4269';

const isUtm = (code: string): boolean => /^EPSG:(32[67]|269|267)\d\d$/.test(code);

/** Eastings of a UTM zone lie between 100 and 900 km; a northing of the region has millions of metres. */
function eastingsSwapped(raw: Raw, at: Int32Array): boolean {
  let swapped = 0;
  for (const i of at) if (raw.x[i] > 1_000_000 && raw.y[i] >= 100_000 && raw.y[i] <= 900_000) swapped++;
  return swapped > 0 && swapped >= 0.9 * at.length;
}

function swapOffer(system: System, raw: Raw, at: Int32Array): Offer {
  const { lon, lat } = system.inverse(
    Float64Array.from(at, (i) => raw.y[i]),
    Float64Array.from(at, (i) => raw.x[i]),
  );
  return {
    mend: 'axes',
    what: `eastings and northings seem to stand in each other's place in ${at.length} rows; they can be exchanged`,
    extent: extentOf(lon, lat),
  };
}

/** What a missing system means: the Failure where it concerns all rows or the one that the user gave, else a note. */
function settle(
  failure: Failure,
  code: string,
  how: TableReading,
  members: number,
  raw: Raw,
  log: Log,
): Failure | null {
  if (code === how.crs) return failure;
  if (isDegreesCode(code)) {
    log.plain(
      `${members} positions are on another datum (${code}) and were read as WGS 84: they may be off by some tens of metres (${failure.what})`,
    );
    return null;
  }
  if (members === raw.x.length) return failure;
  log.plain(`${members} rows were left out: ${failure.what}. ${failure.todo}`);
  return null;
}

/** Most of the rows could be degrees (and are not all at 0, 0). */
function looksLikeDegrees(raw: Raw, at: Int32Array): boolean {
  let fit = 0;
  let zero = 0;
  for (const i of at) {
    if (raw.x[i] === 0 && raw.y[i] === 0) zero++;
    else if (Math.abs(raw.x[i]) <= 180 && Math.abs(raw.y[i]) <= 90) fit++;
  }
  return fit > 0 && fit >= 0.9 * (at.length - zero);
}

/** Mends, leaves out what is off the earth, and notes what lies far from all others. */
function finish(
  table: Table,
  raw: Raw,
  found: Degrees,
  accepted: readonly Mend[],
  offers: Offer[],
  log: Log,
): Places {
  const mended = mendPlaces(found.lon, found.lat, accepted);
  offers.push(...mended.offers);
  const { lon, lat } = mended;
  const line = (i: number): number => table.line(raw.rows[i]);
  for (const { mend, row } of mended.unasked) {
    if (mend === 'axes')
      log.add(
        'swapped',
        line(row),
        'lon, lat',
        'longitude and latitude stand in each other’s place, unlike in the other rows; put right',
      );
    else
      log.add(
        'sign',
        line(row),
        'lon',
        `${-lon[row]} has lost its minus sign (most rows lie west of Greenwich); taken as ${lon[row]}`,
      );
  }
  const kept = new Int32Array(lon.length);
  let n = 0;
  let zeros = 0;
  for (let i = 0; i < lon.length; i++) {
    if (mended.keep[i] === 0) zeros++;
    else if (Number.isNaN(lon[i]) && !Number.isNaN(raw.x[i])) {
      const code = raw.systems[raw.system[i]];
      if (code !== NO_ZONE)
        log.add(
          'position',
          line(i),
          'position',
          `${raw.x[i]}, ${raw.y[i]} has no place in ${code}; row left out`,
        );
    } else if (!(Math.abs(lon[i]) <= 180) || !(Math.abs(lat[i]) <= 90)) {
      const north = !(Math.abs(lat[i]) <= 90);
      log.add(
        'position',
        line(i),
        north ? 'lat' : 'lon',
        `${north ? lat[i] : lon[i]} is outside the earth; row left out`,
      );
    } else kept[n++] = i;
  }
  if (zeros > 0) log.plain(`${zeros} rows at 0, 0 were left out, as accepted`);
  const at = kept.subarray(0, n);
  const places = {
    rows: Int32Array.from(at, (i) => raw.rows[i]),
    lon: Float64Array.from(at, (i) => lon[i]),
    lat: Float64Array.from(at, (i) => lat[i]),
    offers,
  };
  for (const { row, km } of farRows(places.lon, places.lat)) {
    log.add(
      'far',
      table.line(places.rows[row]),
      'position',
      `lies ${Math.round(km)} km from the middle of the others; check it`,
    );
  }
  return places;
}
