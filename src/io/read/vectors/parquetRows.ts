import type { AsyncBuffer, Compressors, FileMetaData, RowGroup } from 'hyparquet';
import { checkPages } from './parquetPages.ts';
import { unpackers } from './parquetUnpack.ts';
import type { ReadOptions } from '../types.ts';

/** Rows read at a time, where a group has more. */
const STEP = 50_000;

/** Values of a row in the order of the columns that were asked for. */
export type Row = readonly unknown[];

/** Rows of the file in turn, a group (or a part of one) at a time. Groups that `keep` says no to are not read. */
export async function* rowsOf(
  file: AsyncBuffer,
  metadata: FileMetaData,
  columns: readonly string[],
  keep: (group: RowGroup) => boolean,
  { work }: ReadOptions,
): AsyncGenerator<readonly Row[]> {
  const { parquetRead } = await import('hyparquet');
  const compressors = await unpackers();
  const total = Number(metadata.num_rows);
  let start = 0;
  for (const group of metadata.row_groups) {
    const end = start + Number(group.num_rows);
    const kept = keep(group);
    const held = kept ? await checkedGroup(file, metadata, group, columns, compressors) : file;
    for (let rowStart = start; kept && rowStart < end; rowStart += STEP) {
      const rowEnd = Math.min(end, rowStart + STEP);
      let rows: readonly Row[] = [];
      await parquetRead({
        file: held,
        metadata,
        columns: [...columns],
        rowStart,
        rowEnd,
        compressors,
        utf8: false,
        geoparquet: false,
        parsers: AS_TEXT,
        // As lists and not as records, so that a name like "__proto__" is a name like any other.
        rowFormat: 'array',
        onComplete: (found) => (rows = found),
      });
      yield rows;
      work?.progress?.(rowEnd, total, 'rows read');
      await work?.pause?.();
    }
    start = end;
  }
}

/** The file with the columns of a group, which were looked at, in memory. */
async function checkedGroup(
  file: AsyncBuffer,
  { schema }: FileMetaData,
  group: RowGroup,
  columns: readonly string[],
  unpack: Compressors,
): Promise<AsyncBuffer> {
  const chunks: { from: number; bytes: Uint8Array }[] = [];
  for (const { meta_data: column } of group.columns) {
    if (!column || !columns.includes(column.path_in_schema[0])) continue;
    const from = Number(column.dictionary_page_offset ?? column.data_page_offset);
    const bytes = new Uint8Array(await file.slice(from, from + Number(column.total_compressed_size)));
    checkPages(bytes, column, schema, Number(group.num_rows), unpack);
    chunks.push({ from, bytes });
  }
  chunks.sort((a, b) => a.from - b.from);
  return {
    byteLength: file.byteLength,
    slice(from, to = file.byteLength) {
      const out = new Uint8Array(Math.max(0, to - from));
      let at = from;
      for (const chunk of chunks) {
        if (at < chunk.from || at >= chunk.from + chunk.bytes.length) continue;
        const part = chunk.bytes.subarray(at - chunk.from, to - chunk.from);
        out.set(part, at - from);
        at += part.length;
      }
      return at === to ? out.buffer : file.slice(from, to);
    },
  };
}

const iso = (ms: number): string | null => {
  const date = new Date(ms);
  return Number.isNaN(date.getTime()) ? null : date.toISOString().replace(/(\.000)?Z$/, '');
};
/** Dates and times as text in the order of ISO 8601; geometries as they are. */
const AS_TEXT = {
  dateFromDays: (days: number): string | null => iso(days * 86_400_000)?.slice(0, 10) ?? null,
  timestampFromMilliseconds: (ms: bigint) => iso(Number(ms)),
  timestampFromMicroseconds: (us: bigint) => iso(Number(us / 1000n)),
  timestampFromNanoseconds: (ns: bigint) => iso(Number(ns / 1_000_000n)),
  jsonFromBytes: (bytes: Uint8Array) => new TextDecoder().decode(bytes),
  geometryFromBytes: (bytes: Uint8Array) => bytes,
  geographyFromBytes: (bytes: Uint8Array) => bytes,
};

/** Names of the columns at the top. */
export function topColumns({ schema }: FileMetaData): string[] {
  const names: string[] = [];
  const skip = (at: number): number => {
    let next = at + 1;
    for (let i = 0; i < (schema[at]?.num_children ?? 0); i++) next = skip(next);
    return next;
  };
  for (let at = 1, i = 0; i < (schema[0].num_children ?? 0) && at < schema.length; i++, at = skip(at))
    names.push(schema[at].name);
  return names;
}
