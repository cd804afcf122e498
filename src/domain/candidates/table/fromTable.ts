/** Candidates from tables, and from the points of spatial files. */
import type { Spot } from '../../base/geo.ts';
import type { Offer } from '../../base/mend.ts';
import { fail, ok, type Note, type Result } from '../../base/result.ts';
import { paced } from '../../base/steps.ts';
import type { Table } from '../../base/table.ts';
import type { Work } from '../../base/work.ts';
import type { Candidates } from '../candidates.ts';
import { columnsOf, POSITION_FIELDS, sampleOf, type Columns } from './columns.ts';
import { duplicates } from '../duplicates.ts';
import { Log } from './log.ts';
import { hasPosition, placesOf } from './places.ts';
import type { TableReading } from './reading.ts';
import { recordsOf } from './records.ts';
import { spotTable } from './spotTable.ts';
import type { UnsettledName } from './speciesColumn.ts';

export interface CandidatesRead {
  readonly candidates: Candidates;
  readonly notes: readonly Note[];
  /** Mistakes of position that can be mended. */
  readonly offers: readonly Offer[];
  /** Names of species that stand for no oak of the table. */
  readonly unsettled: readonly UnsettledName[];
}

/**
 * Candidates from a table. Columns are found by their headers and cells (see columns.ts) unless the mapping names them.
 * Units: accuracy in metres, diameter in centimetres, unless a header or cell names another ("dbh_in", "22 in", "accuracy_ft").
 * A row without a usable position is left out; another bad value is left empty; each is noted with its row as the user counts
 * it. Repeated ids get a suffix. Mistakes of position over many rows are offered for mending (see mends.ts), and mended
 * unasked only where a few rows differ from a clear majority.
 *
 * Fails when the table has no position, a mapped column does not exist, no row is usable, or the coordinate system is missing.
 */
export async function candidatesFrom(
  table: Table,
  file: string,
  how: TableReading = {},
  work: Work = {},
): Promise<Result<CandidatesRead>> {
  const log = new Log(file);
  const columns = columnsOf(table.columns, how.mapping, sampleOf(table));
  const trouble = lacking(table, columns, file);
  if (trouble) return trouble;
  const places = await placesOf(table, columns, how, file, log, work);
  if (!places.ok) return places;
  const { rows, lon, lat, offers } = places.value;
  if (rows.length === 0) {
    const why = log.entries()[0];
    const what = why
      ? ` (${why.row === null ? '' : `row ${why.row}, ${why.field}: `}${why.what.replace(/; row left out$/, '')})`
      : '';
    const failed = fail(
      'content',
      file,
      `none of its ${table.n} rows has a usable position${what}`,
      offers.length > 0
        ? `Accept what is offered: ${offers[0].what}.`
        : 'Give longitude and latitude in degrees (WGS 84), such as -84.51 and 37.98, or the coordinate system of the layer.',
    );
    return offers.length > 0 ? { ...failed, failure: { ...failed.failure, offers } } : failed;
  }
  const described = await paced(recordsOf(table, rows, lat, columns, how, file, log), work);
  const records = { ...described.records, lon, lat };
  work.progress?.(0, rows.length, 'repeated trees looked for');
  await work.pause?.();
  return ok({
    candidates: { ...records, duplicateOf: duplicates(records) },
    notes: [...offers.map((o) => ({ where: file, what: o.what })), ...log.notes()],
    offers,
    unsettled: described.unsettled,
  });
}

/** What the mapping names that is not there, or that the table has no position. */
export function lacking(table: Table, columns: Columns, file: string): ReturnType<typeof fail> | null {
  if (columns.missing.length > 0) {
    const { field, column } = columns.missing[0];
    return fail(
      'content',
      file,
      `the plan maps "${field}" to a column "${column}" that is not there`,
      `Columns are: ${few(table.columns)}.`,
    );
  }
  if (hasPosition(columns)) return null;
  const { lon, lat, easting, northing } = columns.at;
  const what =
    lon !== undefined
      ? 'latitude'
      : lat !== undefined
        ? 'longitude'
        : easting !== undefined
          ? 'northing'
          : northing !== undefined
            ? 'easting'
            : 'longitude and latitude';
  return fail(
    'content',
    file,
    `the table has no column for ${what} (columns: ${few(table.columns) || 'none'})`,
    'Name the columns "lon" and "lat" (or decimalLongitude and decimalLatitude), in degrees WGS 84.',
  );
}

const few = (names: readonly string[]): string =>
  names.length > 40 ? `${names.slice(0, 40).join(', ')} and ${names.length - 40} more` : names.join(', ');

/**
 * Candidates from the points of a spatial file: their attributes are the columns. Mistakes of position are the affair of the
 * reader that made the points, which offers to mend them: nothing is offered here.
 */
export async function candidatesFromSpots(
  spots: readonly Spot[],
  file: string,
  how: TableReading = {},
  work: Work = {},
): Promise<Result<CandidatesRead>> {
  const own = spotTable(spots);
  const attributes = own.columns;
  // Names that no attribute can have by accident: the position is the point's own.
  const [lon, lat] = ['\u0000lon', '\u0000lat'];
  const table: Table = {
    ...own,
    columns: [...attributes, lon, lat],
    cell(row, column) {
      if (column < attributes.length) return own.cell(row, column);
      return written(column === attributes.length ? spots[row].lon : spots[row].lat);
    },
  };
  const mapping = Object.fromEntries(
    Object.entries(how.mapping ?? {}).filter(
      ([field]) => !(POSITION_FIELDS as readonly string[]).includes(field),
    ),
  );
  // The file's coordinate system was dealt with when the points were read.
  const { crs: _, ...rest } = how;
  const settled = { ...rest, mapping: { ...mapping, lon, lat, datum: '' } };
  const read = await candidatesFrom(table, file, settled, work);
  if (!read.ok) return read;
  const offered = new Set(read.value.offers.map((o) => o.what));
  return ok({ ...read.value, offers: [], notes: read.value.notes.filter((n) => !offered.has(n.what)) });
}

/** Digits without an exponent. */
const written = (degrees: number): string =>
  Math.abs(degrees) < 1e-6 ? degrees.toFixed(12) : String(degrees);
