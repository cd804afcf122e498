/** Where the rows of a table are: from degrees, grid coordinates, pairs in one cell or well-known text to longitude and latitude. */
import type { Box } from '../../base/geo.ts';
import type { Mend, Offer } from '../../base/mend.ts';
import { fail, missingCrs, ok, type Failure, type Result } from '../../base/result.ts';
import { paced, type Steps } from '../../base/steps.ts';
import type { System } from '../../base/system.ts';
import type { Table } from '../../base/table.ts';
import type { Work } from '../../base/work.ts';
import type { Columns } from './columns.ts';
import type { Log } from './log.ts';
import { extentOf, farRows, mendPlaces } from './mends.ts';
import { DEGREES, NO_ZONE, rawPlaces, STRIDE, type Raw } from './rawPlaces.ts';
import type { TableReading } from './reading.ts';

export interface Places {
  /** Rows of the table that have a usable position, in order. */
  readonly rows: Int32Array;
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  readonly offers: readonly Offer[];
}

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
