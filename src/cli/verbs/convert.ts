import { createWriteStream } from 'node:fs';
import { rename, rm } from 'node:fs/promises';
import { resolve } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { tableGeometry } from '../../io/read/tables/tableGeometry.ts';
import type { ReadOptions } from '../../io/read/types.ts';
import { countOf, writeCsv, writeGeojson, type Understood } from '../../io/write/features.ts';
import { mendOpened } from '../../jobs/handlers/mendOpened.ts';
import { tablePlaces } from '../../jobs/handlers/tablePlaces.ts';
import { one, optional, readOptions } from '../arguments.ts';
import { openPath } from '../open.ts';
import type { Verb } from '../verb.ts';

const WRITERS = { geojson: writeGeojson, csv: writeCsv } as const;

export const convert: Verb = {
  name: 'convert',
  usage: 'convert FILE --to geojson|csv [--part NAME] [--crs X] [--out FILE]',
  help: [
    'Writes what a file was understood to hold, in WGS 84 degrees: polygons, lines, points, and tables whose rows have a place.',
    'csv: points and tables get columns lon and lat, polygons and lines a column wkt (well-known text).',
    '--part: which table, sheet or layer of the file; --crs: coordinate system to use instead of the file’s own (EPSG code, WKT, PROJ).',
    'Without --out the result goes to standard output and notes to standard error. A raster is refused.',
    'JSON (with --out): {file, kind, count, out, notes}.',
  ].join('\n'),
  async run(args, work) {
    const options = readOptions('convert', args, ['to', 'part', 'crs', 'out']);
    if (!options.ok) return options;
    const [file, more] = options.value.rest;
    if (file === undefined || more !== undefined)
      return fail('usage', 'convert', 'needs one file', 'See kinstand convert --help.');
    const to = one(options.value, 'convert', 'to');
    if (!to.ok) return to;
    if (to.value !== 'geojson' && to.value !== 'csv')
      return fail('usage', 'convert', `--to is "${to.value}"`, 'Use geojson or csv.');
    const out = optional(options.value, 'out');
    if (out !== null && resolve(out) === resolve(file))
      return fail('usage', 'convert', '--out is the file itself', 'Give another name.');
    const [part, crs] = [optional(options.value, 'part'), optional(options.value, 'crs')];
    const read = await understand(
      file,
      { ...(part === null ? {} : { part }), ...(crs === null ? {} : { crs }), work },
      work,
    );
    if (!read.ok) return read;
    const { understood, notes } = read.value;
    const pieces = WRITERS[to.value](understood);
    if (out === null) return ok({ json: null, lines: [], stream: () => pieces, notes });
    const written = await writeWhole(out, pieces);
    if (!written.ok) return written;
    const count = countOf(understood);
    const said = notes.map((n) => `${n.where}: ${n.what}`);
    return ok({
      json: { file, kind: understood.kind, count, out, notes: said },
      lines: [...said, `${out}: ${count} ${understood.kind === 'table' ? 'rows' : `${understood.kind}s`}`],
    });
  },
};

async function understand(
  path: string,
  options: ReadOptions,
  work: Work,
): Promise<Result<{ understood: Understood; notes: readonly Note[] }>> {
  const first = await openPath(path, options);
  if (!first.ok) return first;
  const opened = await tableGeometry(first.value, undefined, options.crs, work);
  if (!opened.ok) return opened;
  const { content, file, notes } = mendOpened(opened.value);
  if (content.kind === 'raster')
    return fail(
      'content',
      file,
      'is a raster, and only polygons, lines, points and tables are converted',
      'Use kinstand sample for its values at points.',
    );
  if (content.kind !== 'table') return ok({ understood: content, notes });
  const { table } = content;
  const places = await tablePlaces(table, file, options.crs ? { crs: options.crs } : {}, work);
  if (!places.ok) return places;
  const { rows, lon, lat, columns } = places.value;
  const { at } = columns;
  return ok({
    understood: {
      kind: 'table',
      table,
      rows,
      lon,
      lat,
      replaced: at.lon !== undefined && at.lat !== undefined ? [at.lon, at.lat] : [],
    },
    notes: [...notes, ...places.value.notes],
  });
}

/** A file that stands half written under its name would be taken for whole. */
async function writeWhole(path: string, pieces: Iterable<string>): Promise<Result<null>> {
  const beside = `${path}.part`;
  try {
    await pipeline(Readable.from(pieces), createWriteStream(beside));
    await rename(beside, path);
    return ok(null);
  } catch (error) {
    await rm(beside, { force: true });
    return fail('unreadable', path, `cannot be written (${(error as Error).message})`, 'Check the folder.');
  }
}
