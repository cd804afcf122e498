/** The formats that are read, in the order in which they are tried, and the door through which every file comes in. */
import { fail, ok, type Failure, type Result } from '../../domain/base/result.ts';
import type { Source } from '../source.ts';
import { asciiGrid } from './rasters/asciiGrid.ts';
import { csv } from './tables/csv.ts';
import { flatgeobuf } from './vectors/flatgeobuf.ts';
import { geojson } from './vectors/geojson.ts';
import { geojsonLines } from './vectors/geojsonLines.ts';
import { geopackage } from './vectors/geopackage.ts';
import { geoparquet } from './vectors/geoparquet.ts';
import { geotiff } from './rasters/geotiff.ts';
import { gpx } from './markup/gpx.ts';
import { kml } from './markup/kml.ts';
import { kmz } from './markup/kmz.ts';
import { netcdf } from './rasters/netcdf.ts';
import { photo } from './photos/photo.ts';
import { shapefile } from './vectors/shapefile.ts';
import { decodeText } from './text.ts';
import { topojson } from './vectors/topojson.ts';
import type { Format, Opened, ReadOptions } from './types.ts';
import { workbook } from './tables/workbook.ts';
import { zipArchive } from './archives/zipArchive.ts';

const zip = zipArchive(openSource, () => formats.flatMap((f) => f.extensions));

export const formats: readonly Format[] = [
  geotiff,
  asciiGrid,
  netcdf,
  flatgeobuf,
  geopackage,
  geoparquet,
  shapefile,
  workbook,
  photo,
  kmz,
  kml,
  gpx,
  topojson,
  geojsonLines,
  geojson,
  zip,
  csv,
];

const HEAD = 512;
const READ = formats.map((f) => f.title).join(', ');

/** Finds the reader by the first bytes, then by the extension, and reads. Every way to fail is one Failure. */
export async function openSource(source: Source, options: ReadOptions = {}): Promise<Result<Opened>> {
  const head = await source.read(0, HEAD);
  if (!head.ok) return head;
  if (head.value.length === 0) return fail('content', source.name, 'is empty', 'Get the file again.');
  const format = formats.find((f) => f.recognises(head.value, source.name));
  if (!format) return { ok: false, failure: unknown(head.value, source.name) };
  try {
    const read = await format.read(source, options);
    const notes = source.notes?.() ?? [];
    return read.ok && notes.length > 0 ? ok({ ...read.value, notes: [...notes, ...read.value.notes] }) : read;
  } catch (error) {
    if (error instanceof Error && error.name === 'Cancelled') throw error;
    const why = error instanceof Error ? error.message : String(error);
    return fail(
      'format',
      source.name,
      `cannot be read as ${format.title} (${why})`,
      'Get the file again, or convert it with another program.',
    );
  }
}

/** What a file seems to be when it is none of the formats that are read. */
function unknown(head: Uint8Array, name: string): Failure {
  const starts = (...bytes: number[]): boolean => bytes.every((b, i) => head[i] === b);
  const text = decodeText(head).text.trimStart().toLowerCase();
  const convert = `Convert it to one of: ${READ}.`;
  const say = (what: string, todo = convert): Failure => ({ code: 'format', where: name, what, todo });
  if (text.startsWith('<!doctype html') || text.startsWith('<html'))
    return say(
      'is a web page, perhaps an error page saved under this name',
      'Open the address in a browser and get the file itself.',
    );
  if (starts(0x89, 0x50, 0x4e, 0x47) || starts(0xff, 0xd8)) return say('is a picture without a position');
  if (text.startsWith('<?xml') || text.startsWith('<kml') || text.startsWith('<gpx'))
    return say('is an XML file, but neither KML nor GPX');
  if (starts(0x1f, 0x8b)) return say('is packed with gzip', 'Unpack it, and add what is in it.');
  if (starts(0x52, 0x61, 0x72, 0x21) || starts(0x37, 0x7a, 0xbc, 0xaf))
    return say('is an archive that is not opened (RAR or 7z)', 'Unpack it, and add what is in it.');
  const extension = name.split('.').at(-1) ?? '';
  if (formats.some((f) => f.extensions.includes(extension.toLowerCase())))
    return say(`is not what its name says (${extension})`, 'Get the file again.');
  return say('is not in a format that is read');
}
