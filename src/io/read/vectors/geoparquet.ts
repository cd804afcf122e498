import type { AsyncBuffer, FileMetaData } from 'hyparquet';
import type { Box } from '../../../domain/base/geo.ts';
import { fail, ok, type Failure, type Note, type Result } from '../../../domain/base/result.ts';
import { tableOf } from '../../../domain/base/table.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { boxIn } from './boxIn.ts';
import type { RawFeature } from './geometry.ts';
import { geometryColumn, type GeometryColumn } from './geoparquetColumn.ts';
import { groupBox, rowBox } from './geoparquetBox.ts';
import { geometryFrom, valueFrom } from './geoparquetValues.ts';
import { PageTrouble } from './parquetPages.ts';
import { rowsOf, topColumns } from './parquetRows.ts';
import type { Format, Opened, ReadOptions } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { WkbTrouble } from './wkb.ts';

const TITLE = 'GeoParquet';
const AGAIN = 'Get the file again.';
const MOST_FOOTER = 64e6;

/** Carries a Failure of the source through the library. */
class Trouble extends Error {
  readonly failure: Failure;
  constructor(failure: Failure) {
    super(failure.what);
    this.failure = failure;
  }
}

/** GeoParquet 0.1 to 1.1, the geometry type of Parquet itself (2.11), and Parquet tables without geometries. */
export const geoparquet: Format = {
  id: 'geoparquet',
  title: TITLE,
  extensions: ['parquet', 'geoparquet'],
  recognises: (head) => head[0] === 0x50 && head[1] === 0x41 && head[2] === 0x52 && [0x31, 0x45].includes(head[3]), // prettier-ignore
  async read(source, options) {
    const file = await asyncBuffer(source);
    if (!file.ok) return file;
    try {
      return await openedFrom(file.value, source, options);
    } catch (error) {
      if (error instanceof Trouble) return { ok: false, failure: error.failure };
      if (!(error instanceof Error) || error.name === 'Cancelled') throw error;
      // The library goes by what the file says, and fails in many ways where that is not so.
      const why = error instanceof PageTrouble ? error.message : 'its parts do not fit together';
      return fail('format', source.name, `is damaged or cut short (${why})`, AGAIN);
    }
  },
};

async function asyncBuffer(source: Source): Promise<Result<AsyncBuffer>> {
  if (source.size === null) {
    const all = await source.readAll();
    if (!all.ok) return all;
    const bytes = all.value;
    return ok({ byteLength: bytes.length, slice: (from, to) => bytes.slice(from, to).buffer });
  }
  return ok({
    byteLength: source.size,
    slice(from, to = source.size ?? 0) {
      const bytes = bytesOf(source, from, to);
      // The library asks ahead, and may fail elsewhere before it comes to these bytes: their failure is then nobody's.
      bytes.catch(() => undefined);
      return bytes;
    },
  });
}

async function bytesOf(source: Source, from: number, to: number): Promise<ArrayBuffer> {
  if (!(from >= 0 && to >= from)) throw new PageTrouble('an offset leads out of the file');
  const bytes = await source.read(from, to - from);
  if (!bytes.ok) throw new Trouble(bytes.failure);
  if (bytes.value.length !== to - from) throw new PageTrouble('an offset leads out of the file');
  return bytes.value.slice().buffer;
}

async function openedFrom(file: AsyncBuffer, source: Source, options: ReadOptions): Promise<Result<Opened>> {
  const { name } = source;
  const metadata = await footer(file, name);
  if (!metadata.ok) return metadata;
  const column = geometryColumn(metadata.value, name);
  if (!column.ok) return column;
  if (column.value === null) return plainTable(file, metadata.value, name, options);
  const crs = options.crs ? await crsFrom(options.crs, name) : await ownCrs(column.value, name);
  if (!crs.ok) return crs;
  const { within } = options;
  const system = crs.value === 'missing' ? null : crs.value;
  const box = within ? (system ? boxIn(system, within) : within) : null;
  const found = await features(file, metadata.value, column.value, box, name, options);
  if (!found.ok) return found;
  if (found.value.raw.length === 0 && Number(metadata.value.num_rows) > 0)
    return fail('content', name, 'has nothing in this area', 'Choose a layer that covers the area.');
  return vectorOpened(
    {
      file: name,
      format: TITLE,
      raw: found.value.raw,
      crs: crs.value,
      notes: [...column.value.notes, ...found.value.notes],
    },
    options,
  );
}

async function footer(file: AsyncBuffer, name: string): Promise<Result<FileMetaData>> {
  if (file.byteLength < 12) return fail('format', name, 'is a Parquet file that is cut short', AGAIN);
  const end = new DataView(await file.slice(file.byteLength - 8, file.byteLength));
  const magic = String.fromCharCode(...new Uint8Array(end.buffer, end.byteOffset + 4, 4));
  if (magic === 'PARE')
    return fail('format', name, 'is locked (its footer is encrypted)', 'Save it again without a key.');
  if (magic !== 'PAR1') return fail('format', name, 'is a Parquet file that is cut short', AGAIN);
  const length = end.getUint32(0, true);
  if (length > Math.min(file.byteLength - 12, MOST_FOOTER))
    return fail('format', name, 'is damaged (its footer is longer than the file)', AGAIN);
  const { parquetMetadataAsync } = await import('hyparquet');
  // Geometries stay bytes: their counts are looked at before memory is taken for them.
  const metadata = await parquetMetadataAsync(file, { geoparquet: false, initialFetchSize: length + 8 });
  const rows = metadata.row_groups.reduce((sum, g) => sum + Number(g.num_rows), 0);
  if (rows !== Number(metadata.num_rows) || metadata.row_groups.some((g) => g.num_rows < 0n))
    return fail('format', name, 'is damaged (its groups do not hold the rows that it states)', AGAIN);
  // Less than a byte for each row is no table of this kind.
  if (rows > file.byteLength)
    return fail('format', name, `is damaged (it states ${rows} rows in ${file.byteLength} bytes)`, AGAIN);
  return ok(metadata);
}

async function features(
  file: AsyncBuffer,
  metadata: FileMetaData,
  column: GeometryColumn,
  box: Box | null,
  name: string,
  options: ReadOptions,
): Promise<Result<{ raw: RawFeature[]; notes: Note[] }>> {
  const attributes = topColumns(metadata).filter(
    (c) => c !== column.name && c !== column.covering?.[0]?.[0] && !column.others.includes(c),
  );
  const covering = box && column.covering ? [column.covering[0][0]] : [];
  const outside = (b: Box | null): boolean =>
    box !== null && b !== null && (b[0] > box[2] || b[2] < box[0] || b[1] > box[3] || b[3] < box[1]);
  const raw: RawFeature[] = [];
  const met = { heights: 0, measures: 0, binary: false };
  let row = 0;
  const rows = rowsOf(
    file,
    metadata,
    [column.name, ...attributes, ...covering],
    (group) => {
      const pass = outside(groupBox(group, column));
      if (pass) row += Number(group.num_rows);
      return !pass;
    },
    options,
  );
  for await (const some of rows)
    for (const values of some) {
      row++;
      if (outside(covering.length > 0 ? rowBox(values[values.length - 1], column) : null)) continue;
      try {
        const { geometry, heights, measures } = geometryFrom(values[0], column.encoding);
        if (heights) met.heights++;
        if (measures) met.measures++;
        const properties = Object.fromEntries(attributes.map((c, i) => [c, valueFrom(values[i + 1], met)]));
        raw.push({ geometry, properties });
      } catch (error) {
        if (!(error instanceof WkbTrouble)) throw error;
        return fail('format', `${name}, row ${row}`, `holds a geometry that is damaged (${error.message})`, AGAIN); // prettier-ignore
      }
    }
  const notes: Note[] = [];
  const note = (what: string): number => notes.push({ where: name, what });
  const count = (n: number): string => `${n} ${n === 1 ? 'feature' : 'features'}`;
  if (met.heights > 0) note(`heights were dropped (${count(met.heights)})`);
  if (met.measures > 0) note(`measures along the shapes (M) were dropped (${count(met.measures)})`);
  if (met.binary) note('attributes that are pictures or other binary values were left empty');
  return ok({ raw, notes });
}

/** A file without geometries: its rows as a table. */
async function plainTable(
  file: AsyncBuffer,
  metadata: FileMetaData,
  name: string,
  options: ReadOptions,
): Promise<Result<Opened>> {
  const columns = topColumns(metadata);
  const met = { binary: false };
  const cells: string[][] = [];
  for await (const some of rowsOf(file, metadata, columns, () => true, options))
    for (const values of some) cells.push(columns.map((_, i) => String(valueFrom(values[i], met) ?? '')));
  return ok({
    file: name,
    format: 'Parquet',
    content: { kind: 'table', table: tableOf(columns, cells, 1) },
    crs: null,
    extent: null,
    count: cells.length,
    notes: met.binary
      ? [{ where: name, what: 'cells that are pictures or other binary values were left empty' }]
      : [],
  });
}

async function ownCrs(column: GeometryColumn, file: string): Promise<Result<Crs | null | 'missing'>> {
  if (column.crs === null) return ok('missing');
  if (column.crs === 'CRS84') return ok(null);
  return crsFrom(column.crs, file);
}
