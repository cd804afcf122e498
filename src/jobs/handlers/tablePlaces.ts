import { ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Work } from '../../domain/base/work.ts';
import { columnsOf, sampleOf, type Columns } from '../../domain/candidates/table/columns.ts';
import { lacking } from '../../domain/candidates/table/fromTable.ts';
import { Log, type Entry } from '../../domain/candidates/table/log.ts';
import { placesOf, type Places } from '../../domain/candidates/table/places.ts';
import { tableReading } from './tableReading.ts';

export interface TablePlaces extends Places {
  readonly columns: Columns;
  /** What was seen, offers among them. */
  readonly notes: readonly Note[];
  /** The same row by row, without the offers. */
  readonly entries: readonly Entry[];
}

/** Where the rows of a table are, without making candidates of them. */
export async function tablePlaces(
  table: Table,
  file: string,
  entry: Parameters<typeof tableReading>[0],
  work: Work,
): Promise<Result<TablePlaces>> {
  const columns = columnsOf(table.columns, entry.columns, sampleOf(table));
  const trouble = lacking(table, columns, file);
  if (trouble) return trouble;
  const log = new Log(file);
  const how = await tableReading(entry, file, { kind: 'table', table });
  const places = await placesOf(table, columns, how, file, log, work);
  if (!places.ok) return places;
  const offered = places.value.offers.map((o) => ({ where: file, what: o.what }));
  return ok({ ...places.value, columns, notes: [...offered, ...log.notes()], entries: log.entries() });
}
