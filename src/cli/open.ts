/** Opens files for a verb: any readable kind, with the format's own sentence where it is not. */
import { rowsOf } from '../domain/base/table.ts';
import { fail, ok, type Result } from '../domain/base/result.ts';
import { openSource } from '../io/read/formats.ts';
import type { Raster } from '../io/read/raster.ts';
import type { Opened, ReadOptions } from '../io/read/types.ts';
import { pathSource } from './pathSource.ts';
import { urlSource } from '../io/source/url.ts';

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

const LON = ['lon', 'longitude', 'lng', 'long', 'decimallongitude', 'x'];
const LAT = ['lat', 'latitude', 'decimallatitude', 'y'];
const ID = ['id', 'name', 'fid'];

/** Points with id, lon, lat: a CSV with those columns, or any readable kind of points. */
export async function openPoints(path: string): Promise<Result<Points>> {
  const opened = await openPath(path);
  if (!opened.ok) return opened;
  const { content, file } = opened.value;
  if (content.kind === 'table') {
    const { columns } = content.table;
    const rows = rowsOf(content.table);
    const lower = columns.map((c) => c.trim().toLowerCase());
    const find = (names: readonly string[]): number =>
      names.map((n) => lower.indexOf(n)).find((i) => i >= 0) ?? -1;
    const [lonAt, latAt, idAt] = [find(LON), find(LAT), find(ID)];
    if (lonAt < 0 || latAt < 0)
      return fail(
        'content',
        file,
        `has no column for ${lonAt < 0 ? 'lon' : 'lat'} (columns: ${columns.join(', ')})`,
        'Name the columns id, lon and lat.',
      );
    const lon = new Float64Array(rows.length);
    const lat = new Float64Array(rows.length);
    for (let i = 0; i < rows.length; i++) {
      lon[i] = toNumber(rows[i][lonAt]);
      lat[i] = toNumber(rows[i][latAt]);
      if (!(Math.abs(lon[i]) <= 180) || !(Math.abs(lat[i]) <= 90)) {
        return fail(
          'content',
          `${file}, row ${i + 2}`,
          `"${rows[i][lonAt]}, ${rows[i][latAt]}" is not a position in degrees`,
          'Correct or remove the row.',
        );
      }
    }
    return ok({
      id: rows.map((r, i) => (idAt >= 0 && r[idAt] ? r[idAt] : String(i + 1))),
      lon,
      lat,
      field: (name) => {
        const at = columns.findIndex((c) => c.trim() === name);
        return at < 0 ? null : rows.map((r) => r[at] ?? '');
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

const toNumber = (text: string | undefined): number =>
  text === undefined || text.trim() === '' ? NaN : Number(text);
