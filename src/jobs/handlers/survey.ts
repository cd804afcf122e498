/** How a table would be read with the columns chosen so far: its first rows at once, all of it when there is time. */
import type { Box } from '../../domain/base/geo.ts';
import { previewRows, type Preview } from '../../domain/candidates/table/mapping.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Work } from '../../domain/base/work.ts';
import { openSource } from '../../io/read/formats.ts';
import type { Opened } from '../../io/read/types.ts';
import type { Source } from '../../io/source.ts';
import type { Jobs, Reading, Sample, TableSurvey } from '../protocol.ts';
import { candidatesIn } from './candidatesIn.ts';
import type { Desk } from './desk.ts';
import { readOptions } from './readOptions.ts';
import { tableReading } from './tableReading.ts';

const MEMO = 'table looked into';

/** The first rows as they are understood. */
export async function preview({ sample, file, entry }: Jobs['preview']['input']): Promise<Result<Preview>> {
  const table = tableOfSample(sample);
  const how = await tableReading(entry, file, { kind: 'table', table });
  return ok(await previewRows(table, file, how, sample.places));
}

const tableOfSample = ({ columns, rows, lines }: Sample): Table => ({
  columns,
  n: rows.length,
  cell: (row, column) => rows[row]?.[column] ?? '',
  line: (row) => lines[row] ?? row + 1,
});

/** Every row, without making a layer of it. The file that was read last is kept until a layer is opened or closed. */
export async function survey(
  desk: Desk,
  { reading, entry }: Pick<Jobs['survey']['input'], 'reading' | 'entry'>,
  source: Source,
  work: Work,
): Promise<Result<TableSurvey>> {
  const opened = await openedOnce(desk, reading, source, work);
  if (!opened.ok) return opened;
  const { content, file, count } = opened.value;
  const read = await candidatesIn(content, entry, file, work);
  if (!read) return fail('content', file, 'is no table', 'Choose another kind of layer.');
  if (!read.ok) return read;
  const { candidates, notes, offers, unsettled } = read.value;
  const extent = boxOf(candidates.lon, candidates.lat);
  return ok({ rows: count, usable: candidates.n, extent, notes, offers, unsettled });
}

function boxOf(lon: Float64Array, lat: Float64Array): Box | null {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lon.length; i++) {
    box[0] = Math.min(box[0], lon[i]);
    box[1] = Math.min(box[1], lat[i]);
    box[2] = Math.max(box[2], lon[i]);
    box[3] = Math.max(box[3], lat[i]);
  }
  return lon.length > 0 ? box : null;
}

/** Keeps what was read, so that another choice of columns does not read the file again. */
export function keepLooked(desk: Desk, source: Source, reading: Reading, opened: Opened): void {
  desk.memo.set(MEMO, { key: keyOf(source, reading), opened });
}

async function openedOnce(desk: Desk, reading: Reading, source: Source, work: Work): Promise<Result<Opened>> {
  const held = desk.memo.get(MEMO) as { key: string; opened: Opened } | undefined;
  if (held?.key === keyOf(source, reading)) return ok(held.opened);
  const opened = await openSource(source, readOptions(reading, work));
  if (opened.ok) keepLooked(desk, source, reading, opened.value);
  return opened;
}

/** Coordinate system and mends of a table are not the file's: they are applied to its cells. */
const keyOf = (source: Source, { part }: Reading): string =>
  JSON.stringify([source.url ?? source.name, source.size, part]);
