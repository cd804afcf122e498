import type { FileMetaData } from 'hyparquet';
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';

export interface GeometryColumn {
  readonly name: string;
  /** "WKB", or a kind of geometry whose positions are kept as lists of numbers. */
  readonly encoding: string;
  /** Text of the coordinate system; 'CRS84': degrees on WGS 84; null: not known. */
  readonly crs: string | null;
  /** Where each row keeps its box, as paths of xmin, ymin, xmax, ymax; null where none does. */
  readonly covering:
    readonly [readonly string[], readonly string[], readonly string[], readonly string[]] | null;
  /** Further columns of geometries, which are not read. */
  readonly others: readonly string[];
  readonly notes: readonly Note[];
}

const NATIVE = ['point', 'linestring', 'polygon', 'multipoint', 'multilinestring', 'multipolygon'];

/**
 * The column of the geometries by the metadata under the key "geo" (GeoParquet 0.1 to 1.1), else by the type of the columns
 * (Parquet's own GEOMETRY and GEOGRAPHY); null for a table without geometries.
 */
export function geometryColumn(metadata: FileMetaData, file: string): Result<GeometryColumn | null> {
  const native = metadata.schema.filter((s) => /^(GEOMETRY|GEOGRAPHY)$/.test(s.logical_type?.type ?? ''));
  const geo = metadata.key_value_metadata?.find((kv) => kv.key === 'geo')?.value;
  const notes: Note[] = [];
  const note = (what: string): number => notes.push({ where: file, what });
  if (geo === undefined) {
    const [first, ...rest] = native;
    if (!first) return ok(null);
    if (first.logical_type?.type === 'GEOGRAPHY') note(SPHERE);
    if (rest.length > 0) note(further(rest.map((s) => s.name)));
    const own = first.logical_type && 'crs' in first.logical_type ? first.logical_type.crs : undefined;
    const crs = nativeCrs(own, metadata);
    return ok({
      name: first.name,
      encoding: 'WKB',
      crs,
      covering: null,
      others: rest.map((s) => s.name),
      notes,
    });
  }
  const value = parsed(geo);
  const columns = record(value?.['columns']);
  const primary = value?.['primary_column'];
  const name = typeof primary === 'string' ? primary : Object.keys(columns ?? {})[0];
  const column = record(columns?.[name]);
  if (!columns || !column || !metadata.schema.some((s) => s.name === name))
    return fail('format', file, 'is no sound GeoParquet (its "geo" metadata names no column of geometries)', 'Save it again with the program that made it.'); // prettier-ignore
  const stated = column['encoding'] ?? 'WKB';
  const encoding = typeof stated === 'string' ? stated : JSON.stringify(stated);
  if (encoding !== 'WKB' && !NATIVE.includes(encoding))
    return fail('format', file, `keeps its geometries in a way that is not read ("${encoding.slice(0, 40)}")`, 'Save it again with the encoding WKB.'); // prettier-ignore
  if (column['edges'] === 'spherical') note(SPHERE);
  const others = Object.keys(columns).filter((c) => c !== name);
  if (others.length > 0) note(further(others));
  const type = native.find((s) => s.name === name)?.logical_type;
  const own = type && 'crs' in type ? type.crs : undefined;
  return ok({
    name,
    encoding,
    // Version 2 leaves the system to the type of the column.
    crs:
      column['crs'] === undefined && own !== undefined ? nativeCrs(own, metadata) : statedCrs(column['crs']),
    covering: coveringOf(column['covering']) ?? usualCovering(metadata),
    others,
    notes,
  });
}

const SPHERE = 'says that its lines follow the sphere; they were read as straight between their corners';
const further = (names: readonly string[]): string =>
  `has further columns of geometries that were left out: ${names.join(', ')}`;

const record = (value: unknown): Readonly<Record<string, unknown>> | null =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Readonly<Record<string, unknown>>)
    : null;

function parsed(text: string): Readonly<Record<string, unknown>> | null {
  try {
    return record(JSON.parse(text));
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return null;
  }
}

/** Absent: degrees on WGS 84; null: not known; an object: PROJJSON; a text (before 0.4): WKT. */
function statedCrs(crs: unknown): string | null {
  if (crs === undefined) return 'CRS84';
  if (typeof crs === 'string') return crs.trim() === '' ? null : crs;
  const json = record(crs);
  if (!json) return null;
  const id = record(json['id']) ?? record(Array.isArray(json['ids']) ? json['ids'][0] : null);
  const code = `${String(id?.['authority']).toUpperCase()}:${String(id?.['code']).toUpperCase()}`;
  if (code === 'OGC:CRS84' || code === 'EPSG:4326') return 'CRS84';
  return /^(EPSG|ESRI):\d+$/.test(code) ? code : JSON.stringify(json);
}

/** Of Parquet's own type: "OGC:CRS84" where absent, "srid:5070", "projjson:key", or the text itself. */
function nativeCrs(crs: string | undefined, metadata: FileMetaData): string | null {
  if (crs === undefined || /^(OGC:CRS84|EPSG:4326|srid:4326)$/i.test(crs)) return 'CRS84';
  const [, kind, rest] = /^(srid|projjson):(.*)$/is.exec(crs) ?? [];
  if (kind?.toLowerCase() === 'srid') return rest === '0' ? null : `EPSG:${rest}`;
  const text = kind ? metadata.key_value_metadata?.find((kv) => kv.key === rest)?.value : crs;
  if (text === undefined || text.trim() === '') return null;
  return text.trimStart().startsWith('{') ? statedCrs(parsed(text)) : text;
}

/** A column "bbox" with the four ends of a box, as many files have it that do not say so. */
function usualCovering({ schema }: FileMetaData): GeometryColumn['covering'] {
  const at = schema.findIndex((s) => s.name === 'bbox');
  const ends = schema.slice(at + 1, at + 1 + (schema[at]?.num_children ?? 0)).map((s) => s.name);
  return ['xmin', 'ymin', 'xmax', 'ymax'].every((end) => ends.includes(end))
    ? [
        ['bbox', 'xmin'],
        ['bbox', 'ymin'],
        ['bbox', 'xmax'],
        ['bbox', 'ymax'],
      ]
    : null;
}

function coveringOf(covering: unknown): GeometryColumn['covering'] {
  const box = record(record(covering)?.['bbox']);
  const paths = ['xmin', 'ymin', 'xmax', 'ymax'].map((key) => box?.[key]);
  const sound = (p: unknown): p is string[] =>
    Array.isArray(p) && p.length === 2 && p.every((step) => typeof step === 'string');
  const [a, b, c, d] = paths;
  return sound(a) && sound(b) && sound(c) && sound(d) ? [a, b, c, d] : null;
}
