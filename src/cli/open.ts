/** Opens files for a verb: any readable kind, with the format's own sentence where it is not. */
import { fail, ok, type Result } from '../domain/base/result.ts';
import { openSource } from '../io/read/formats.ts';
import type { Raster } from '../io/read/rasters/raster.ts';
import type { Opened, ReadOptions } from '../io/read/types.ts';
import { urlSource } from '../io/source/url.ts';
import { tablePlaces } from '../jobs/handlers/tablePlaces.ts';
import { pathSource } from './pathSource.ts';

export async function openPath(path: string, options: ReadOptions = {}): Promise<Result<Opened>> {
  const source = /^https?:\/\//.test(path) ? ok(urlSource(path)) : pathSource(path);
  if (!source.ok) return source;
  return openSource(source.value, options);
}

export async function openRaster(path: string): Promise<Result<Raster>> {
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  const { content, file } = opened.value;
  if (content.kind !== 'raster')
    return fail(
      'content',
      file,
      `holds ${content.kind === 'table' ? 'a table' : `${content.kind}s`}, not a raster`,
      'Give a GeoTIFF.',
    );
  return ok(content.raster);
}

export interface Points {
  readonly id: string[];
  readonly lon: Float64Array;
  readonly lat: Float64Array;
  /** Other columns or attributes, as text. */
  readonly field: (name: string) => string[] | null;
}

const ID = ['id', 'name', 'fid'];
const LEFT_OUT = '; row left out';

/** Points: a table whose rows say where they are (degrees, a UTM grid ...), or any readable kind of points. */
export async function openPoints(path: string): Promise<Result<Points>> {
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  const { content, file } = opened.value;
  if (content.kind === 'table') {
    const { table } = content;
    const places = await tablePlaces(table, file, {}, {});
    if (!places.ok) return places;
    const { rows, lon, lat, columns, entries, notes } = places.value;
    // A point that is silently missing from the answer would be worse than none: the first bad row ends it.
    const bad = entries.find((e) => e.row !== null && e.what.endsWith(LEFT_OUT));
    if (bad)
      return fail(
        'content',
        `${file}, row ${bad.row}, ${bad.field}`,
        bad.what.slice(0, -LEFT_OUT.length),
        'Correct or remove the row.',
      );
    // Standard error, as all notes of the command.
    for (const n of [...opened.value.notes, ...notes]) console.error(`${n.where}: ${n.what}`);
    const idAt = columns.at.id ?? columns.at.name ?? table.columns.findIndex((c) => /^fid$/i.test(c));
    const cells = (at: number): string[] => Array.from(rows, (row) => table.cell(row, at));
    const written = idAt < 0 ? [] : cells(idAt);
    return ok({
      id: Array.from(rows, (_, i) => written[i] || String(i + 1)),
      lon,
      lat,
      field: (name) => {
        const at = table.columns.findIndex((c) => c.trim() === name);
        return at < 0 ? null : cells(at);
      },
    });
  }
  if (content.kind !== 'point')
    return fail(
      'content',
      file,
      `holds ${content.kind === 'raster' ? 'a raster' : `${content.kind}s`}, not points`,
      'Give a CSV with id, lon and lat, or a file of points.',
    );
  const spots = content.features;
  const idName = ID.find((n) => spots.length > 0 && n in spots[0].attributes);
  return ok({
    id: spots.map((s, i) => (idName === undefined ? String(i + 1) : String(s.attributes[idName] ?? i + 1))),
    lon: Float64Array.from(spots, (s) => s.lon),
    lat: Float64Array.from(spots, (s) => s.lat),
    field: (name) =>
      spots.some((s) => name in s.attributes) ? spots.map((s) => String(s.attributes[name] ?? '')) : null,
  });
}
