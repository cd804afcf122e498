/** What the mapping screen asks: which column holds what, as guessed, how rows are understood, and how to know headers again. */
import type { Offer } from '../../base/mend.ts';
import type { Failure } from '../../base/result.ts';
import { atOnce } from '../../base/steps.ts';
import type { Table } from '../../base/table.ts';
import { OAKS } from '../../species/species.ts';
import { columnsOf, sampleOf } from './columns.ts';
import { FIELDS, type Field } from './fields.ts';
import { lacking } from './fromTable.ts';
import { Log, type Entry } from './log.ts';
import { placesOf } from './places.ts';
import type { TableReading } from './reading.ts';
import { recordsOf } from './records.ts';
import type { UnsettledName } from './speciesColumn.ts';

export { FIELDS };

export interface Guess {
  readonly column: string;
  /** In words for the user: 'Darwin Core term decimalLatitude', 'its cells are names of oaks'. */
  readonly reason: string;
}

/**
 * The column guessed for each field, with the reason. This is what is read where the mapping of a layer says nothing; pass
 * what the user has settled so far as `mapping` ("" = in no column) and the rest is guessed around it.
 *
 * @param sample first rows of the table, cells as written.
 */
export function guessMapping(
  columns: readonly string[],
  sample: ReadonlyArray<readonly string[]>,
  mapping: Readonly<Record<string, string>> = {},
): Partial<Record<Field, Guess>> {
  // Columns that are no longer there are no reason to guess nothing.
  const there = Object.fromEntries(
    Object.entries(mapping).filter(([, column]) => column === '' || columns.includes(column)),
  );
  const { at, reason } = columnsOf(columns, there, sample);
  const guesses: Partial<Record<Field, Guess>> = {};
  for (const { field } of FIELDS) {
    const index = at[field];
    if (index !== undefined && reason[field] !== undefined)
      guesses[field] = { column: columns[index], reason: reason[field] };
  }
  return guesses;
}

/** Key of a set of headers, whatever their order, case and spaces: a mapping settled once is remembered under it. */
export function headerKey(columns: readonly string[]): string {
  const plain = columns.map((c) => c.normalize('NFKC').trim().toLowerCase().replace(/\s+/g, ' '));
  return JSON.stringify([...plain].sort());
}

/** One row as it is understood. */
export interface PreviewRow {
  /** Number of the row as the user counts it in the file. */
  readonly line: number;
  readonly id: string;
  /** Degrees WGS 84; null where the row has no usable position. */
  readonly lon: number | null;
  readonly lat: number | null;
  /** "Quercus alba", "Quercus alba × Quercus macrocarpa", '' where it is not known. */
  readonly species: string;
  /** The name as written. */
  readonly written: string;
  /** Centimetres. */
  readonly dbh: number | null;
  /** What is wrong with it, in words. */
  readonly problems: readonly string[];
}

export interface Preview {
  readonly rows: readonly PreviewRow[];
  /** What holds for the table and not for one row. */
  readonly notes: readonly string[];
  readonly offers: readonly Offer[];
  readonly unsettled: readonly UnsettledName[];
  /** Why the table cannot be read with this mapping; rows are shown without positions then. */
  readonly failure: Failure | null;
}

/**
 * The rows of a sample (30 or so) as they are understood with the mapping, names, mends and coordinate system of `how`. What is
 * decided by a whole column (decimal commas, a lost sign) is decided by the sample here.
 *
 * @param table the sample: `tableOf(columns, rows)`, with the lines of the file where they are known.
 * @param places positions of rows that have one of their own (points of a spatial file), lon and lat; null for tables.
 */
export async function previewRows(
  table: Table,
  file: string,
  how: TableReading = {},
  places: ReadonlyArray<readonly [number, number]> | null = null,
): Promise<Preview> {
  const log = new Log(file);
  const there = Object.fromEntries(
    Object.entries(how.mapping ?? {}).filter(([, c]) => c === '' || table.columns.includes(c)),
  );
  const columns = columnsOf(table.columns, there, sampleOf(table));
  const lon = new Float64Array(table.n).fill(NaN);
  const lat = new Float64Array(table.n).fill(NaN);
  let failure: Failure | null = null;
  let offers: readonly Offer[] = [];
  if (places) {
    places.slice(0, table.n).forEach(([x, y], row) => {
      lon[row] = x;
      lat[row] = y;
    });
  } else {
    const trouble = lacking(table, columns, file);
    const found = trouble ?? (await placesOf(table, columns, how, file, log, {}));
    if (found.ok) {
      offers = found.value.offers;
      found.value.rows.forEach((row, i) => {
        lon[row] = found.value.lon[i];
        lat[row] = found.value.lat[i];
      });
    } else failure = found.failure;
  }
  const all = Int32Array.from({ length: table.n }, (_, row) => row);
  const { records, unsettled } = atOnce(recordsOf(table, all, lat, columns, how, file, log));
  const entries = log.entries();
  const said = (e: Entry): string => `${labelOf(e.field)}: ${e.what}`;
  return {
    rows: Array.from(all, (row) => ({
      line: table.line(row),
      id: records.id[row],
      lon: orNull(lon[row]),
      lat: orNull(lat[row]),
      species: nameOf(records.species[row], records.hybrid[row]),
      written: records.speciesText[row],
      dbh: orNull(records.dbh[row]),
      problems: entries.filter((e) => e.row === table.line(row)).map(said),
    })),
    notes: entries.filter((e) => e.row === null).map((e) => e.what),
    offers,
    unsettled,
    failure,
  };
}

const orNull = (x: number): number | null => (Number.isNaN(x) ? null : x);

const labelOf = (field: string): string => FIELDS.find((f) => f.field === field)?.label ?? field;

function nameOf(species: number, hybrid: number): string {
  const name = OAKS[species]?.name ?? '';
  return hybrid >= 0 ? `${name} × ${OAKS[hybrid].name}` : name;
}
