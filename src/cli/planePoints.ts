/** Points and an outline in a plane of one unit of length, for verbs that measure among points. */
import { fail, ok, type Result } from '../domain/base/result.ts';
import type { Polygon } from '../domain/base/geo.ts';
import { localFrame } from '../domain/base/localFrame.ts';
import type { Table } from '../domain/base/table.ts';
import { planeWindow } from '../domain/candidates/pattern/planeWindow.ts';
import type { PlaneWindow } from '../domain/candidates/pattern/types.ts';
import { tableGeometry } from '../io/read/tables/tableGeometry.ts';
import { loadWkt } from '../io/read/tables/wkt.ts';
import { featuresOf } from '../io/read/vectors/geojsonValue.ts';
import { openPath, openPoints } from './open.ts';
import { pathSource } from './pathSource.ts';

export interface PlanePoints {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly window: PlaneWindow | null;
  /** What one unit is called: 'm', or 'unit' where the file does not say. */
  readonly unit: 'm' | 'unit';
}

/** Columns that hold plane coordinates. */
export interface Axes {
  readonly x: string;
  readonly y: string;
}

/** Names that can only mean degrees. */
export const isDegrees = ({ x, y }: Axes): boolean =>
  /^(decimal)?_?(lon|long|lng|longitude)$/i.test(x.trim()) && /^(decimal)?_?(lat|latitude)$/i.test(y.trim());

/** Points in degrees or a system of their own, and the outline likewise: into metres about their middle. */
export async function geographic(path: string, area: string | null): Promise<Result<PlanePoints>> {
  const points = await openPoints(path);
  if (!points.ok)
    return points.failure.code === 'crs'
      ? fail(
          'crs',
          points.failure.where,
          points.failure.what,
          'Where they are plane coordinates, name the columns with --x and --y.',
        )
      : points;
  const { lon, lat } = points.value;
  const polygons = area === null ? ok(null) : await degreesOf(area);
  if (!polygons.ok) return polygons;
  const middle = (a: Float64Array): number =>
    (a.reduce((s, v) => Math.min(s, v), Infinity) + a.reduce((s, v) => Math.max(s, v), -Infinity)) / 2;
  const [lon0, lat0] = [middle(lon), middle(lat)];
  const { lonMetres, latMetres } = localFrame(lat0);
  const at = (a: number, b: number): [number, number] => [(a - lon0) * lonMetres, (b - lat0) * latMetres];
  return ok({
    x: lon.map((v) => (v - lon0) * lonMetres),
    y: lat.map((v) => (v - lat0) * latMetres),
    window:
      polygons.value &&
      planeWindow(polygons.value.map((p) => p.map((ring) => ring.map(([a, b]) => at(a, b))))),
    unit: 'm',
  });
}

async function degreesOf(path: string): Promise<Result<Polygon[]>> {
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  const drawn = await tableGeometry(opened.value, undefined, undefined);
  if (!drawn.ok) return drawn;
  const { content, file } = drawn.value;
  return content.kind === 'polygon'
    ? ok(content.features.flatMap((f) => [...f.geometry]))
    : fail('content', file, 'holds no polygons', 'Give the outline of the ground as a polygon.');
}

/** Points and outline as they stand in the files. */
export async function plane(path: string, axes: Axes, area: string | null): Promise<Result<PlanePoints>> {
  const table = await tableOfPath(path);
  if (!table.ok) return table;
  const read = columnsAt(table.value, path, axes);
  if (!read.ok) return read;
  const polygons = area === null ? ok(null) : await plainPolygons(area, axes);
  if (!polygons.ok) return polygons;
  return ok({ ...read.value, window: polygons.value && planeWindow(polygons.value), unit: 'unit' });
}

async function tableOfPath(path: string): Promise<Result<Table>> {
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  const { content, file } = opened.value;
  return content.kind === 'table'
    ? ok(content.table)
    : fail('content', file, 'is not a table', 'Give a CSV with the columns that --x and --y name.');
}

function columnsAt(table: Table, path: string, axes: Axes): Result<{ x: Float64Array; y: Float64Array }> {
  const columns: Float64Array[] = [];
  for (const name of [axes.x, axes.y]) {
    const at = table.columns.findIndex((c) => c.trim() === name.trim());
    if (at < 0)
      return fail('content', path, `has no column "${name}"`, `Use one of ${table.columns.join(', ')}.`);
    const values = new Float64Array(table.n);
    for (let row = 0; row < table.n; row++) {
      const cell = table.cell(row, at).trim();
      values[row] = cell === '' ? NaN : Number(cell);
      // A point that is silently missing from the answer would be worse than none.
      if (!Number.isFinite(values[row]))
        return fail(
          'content',
          `${path}, row ${table.line(row)}, ${name}`,
          `"${cell}" is not a number`,
          'Correct or remove the row.',
        );
    }
    columns.push(values);
  }
  return ok({ x: columns[0], y: columns[1] });
}

/** Outlines in plain numbers: GeoJSON, well-known text, or a table of the corners of one ring. */
async function plainPolygons(path: string, axes: Axes): Promise<Result<Polygon[]>> {
  const source = pathSource(path);
  if (!source.ok) return source;
  const bytes = await source.value.readAll();
  if (!bytes.ok) return bytes;
  const text = new TextDecoder()
    .decode(bytes.value)
    .replace(/^\uFEFF/, '')
    .trim();
  if (!/^\s*(\{|SRID=|(MULTI)?POLYGON|GEOMETRYCOLLECTION)/i.test(text)) return ringOf(path, axes);
  const polygons = text.startsWith('{') ? fromJson(text) : fromGeometry((await loadWkt())(text));
  const corners = polygons?.flat(2) ?? [];
  if (!polygons || corners.length === 0 || !corners.every((c) => c.length >= 2 && c.every(Number.isFinite)))
    return fail(
      'content',
      path,
      'holds no polygon that can be read',
      'Give the outline of the ground as a polygon (GeoJSON, well-known text, or a CSV of its corners).',
    );
  return ok(polygons);
}

function fromJson(text: string): Polygon[] | null {
  try {
    return featuresOf(JSON.parse(text))?.flatMap((f) => fromGeometry(f.geometry) ?? []) ?? null;
  } catch {
    // Not JSON: the caller has the sentence.
    return null;
  }
}

function fromGeometry(geometry: unknown): Polygon[] | null {
  const g = geometry as { type?: string; coordinates?: unknown; geometries?: unknown[] } | null;
  if (g?.type === 'Polygon') return [g.coordinates as Polygon];
  if (g?.type === 'MultiPolygon') return g.coordinates as Polygon[];
  return g?.geometries?.flatMap((inner) => fromGeometry(inner) ?? []) ?? null;
}

async function ringOf(path: string, axes: Axes): Promise<Result<Polygon[]>> {
  const table = await tableOfPath(path);
  if (!table.ok) return table;
  const named = [axes, { x: 'x', y: 'y' }].find((a) =>
    [a.x, a.y].every((name) => table.value.columns.some((c) => c.trim() === name)),
  );
  const read = columnsAt(table.value, path, named ?? axes);
  if (!read.ok) return read;
  const { x, y } = read.value;
  return x.length < 3
    ? fail('content', path, `has ${x.length} corner(s)`, 'An outline has at least three.')
    : ok([[Array.from(x, (v, i): [number, number] => [v, y[i]])]]);
}
