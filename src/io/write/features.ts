/** What a file was understood to hold, written anew in WGS 84, piece by piece. */
import type { Attributes } from '../../domain/base/geo.ts';
import type { Table } from '../../domain/base/table.ts';
import type { Content } from '../read/types.ts';
import { csvRow, type Cell } from './csv.ts';
import { geojsonPieces, type GeoFeature } from './geojson.ts';
import { wkt } from './wkt.ts';

/** Features of one kind, or the rows of a table that have a place. */
export type Understood =
  | Exclude<Content, { kind: 'raster' | 'table' }>
  | {
      readonly kind: 'table';
      readonly table: Table;
      /** Rows with a place, and where they are. */
      readonly rows: Int32Array;
      readonly lon: Float64Array;
      readonly lat: Float64Array;
      /** Columns that said so in degrees: the new ones stand in their place. */
      readonly replaced: readonly number[];
    };

export const countOf = (u: Understood): number => (u.kind === 'table' ? u.rows.length : u.features.length);

/** A FeatureCollection (RFC 7946). Cells of a table are texts as written. */
export function writeGeojson(understood: Understood): Iterable<string> {
  return geojsonPieces(features(understood));
}

function* features(u: Understood): Generator<GeoFeature> {
  switch (u.kind) {
    case 'polygon':
      for (const { geometry, attributes } of u.features)
        yield { geometry: { kind: 'area', area: geometry }, properties: attributes };
      return;
    case 'line':
      for (const { lines, attributes } of u.features)
        yield { geometry: { kind: 'lines', lines }, properties: attributes };
      return;
    case 'point':
      for (const { lon, lat, attributes } of u.features)
        yield { geometry: { kind: 'place', place: { lon, lat } }, properties: attributes };
      return;
    case 'table': {
      const { table, rows, lon, lat } = u;
      const kept = keptColumns(u);
      for (let i = 0; i < rows.length; i++) {
        const properties: Record<string, Cell> = {};
        for (const c of kept) properties[table.columns[c]] = table.cell(rows[i], c);
        yield { geometry: { kind: 'place', place: { lon: lon[i], lat: lat[i] } }, properties };
      }
    }
  }
}

/**
 * A table (RFC 4180): points and rows with columns lon and lat first, lines and polygons with a column wkt last. A column of
 * the file that has one of these names is called "... in file".
 */
export function* writeCsv(u: Understood): Generator<string> {
  if (u.kind === 'table') {
    const { table, rows, lon, lat } = u;
    const kept = keptColumns(u);
    yield csvRow([
      'lon',
      'lat',
      ...named(
        kept.map((c) => table.columns[c]),
        ['lon', 'lat'],
      ),
    ]);
    for (let i = 0; i < rows.length; i++)
      yield csvRow([seven(lon[i]), seven(lat[i]), ...kept.map((c) => cellOf(table.cell(rows[i], c)))]);
    return;
  }
  const fields = new Set<string>();
  for (const f of u.features) for (const key of Object.keys(f.attributes)) fields.add(key);
  const columns = [...fields];
  const cells = (attributes: Attributes): Cell[] => columns.map((c) => attributes[c] ?? null);
  if (u.kind === 'point') {
    yield csvRow(['lon', 'lat', ...named(columns, ['lon', 'lat'])]);
    for (const { lon, lat, attributes } of u.features)
      yield csvRow([seven(lon), seven(lat), ...cells(attributes)]);
    return;
  }
  yield csvRow([...named(columns, ['wkt']), 'wkt']);
  if (u.kind === 'polygon')
    for (const { geometry, attributes } of u.features)
      yield csvRow([...cells(attributes), wkt({ kind: 'area', area: geometry })]);
  else
    for (const { lines, attributes } of u.features)
      yield csvRow([...cells(attributes), wkt({ kind: 'lines', lines })]);
}

const seven = (x: number): number => Number(x.toFixed(7));

const keptColumns = ({ table, replaced }: Extract<Understood, { kind: 'table' }>): number[] =>
  [...table.columns.keys()].filter((c) => !replaced.includes(c));

const named = (columns: readonly string[], taken: readonly string[]): string[] =>
  columns.map((c) => (taken.includes(c.trim().toLowerCase()) ? `${c} in file` : c));

/** A negative number that stands as text is a number and no formula. */
const cellOf = (text: string): Cell => (/^-\d*\.?\d+$/.test(text) ? Number(text) : text);
