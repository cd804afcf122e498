/** The coordinate system in a .prj file: a WKT, or the older lines of key words that some grid programs wrote. */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { decodeText } from '../text.ts';

/** No .prj is longer. */
const MOST = 100_000;

/** From the .prj beside a file ("heights.prj" beside "heights.asc"); null where there is none. An address is asked for it. */
export async function crsBeside(source: Source): Promise<Result<Crs | null>> {
  const name = source.name.replace(/\.[^.]*$/, '') + '.prj';
  const prj = await source.beside?.(name);
  if (!prj) return ok(null);
  const bytes = await prj.read(0, MOST);
  if (!bytes.ok) return bytes;
  const { text } = decodeText(bytes.value, name);
  // Some hosts answer any address with a page.
  if (/^\s*</.test(text)) return ok(null);
  return /^\s*projection\s/i.test(text) ? crsFromWords(text, name) : crsFrom(text, name);
}

const UNITS: Readonly<Record<string, string>> = { METERS: 'm', METRES: 'm', FEET: 'us-ft' };
const DATUMS: Readonly<Record<string, string>> = {
  NAD83: '+datum=NAD83',
  NAR: '+datum=NAD83',
  WGS84: '+datum=WGS84',
  WGE: '+datum=WGS84',
  NAD27: '+datum=NAD27',
  NAS: '+datum=NAD27',
};

/**
 * Key words in lines: "Projection UTM", "Zone 16", "Datum NAD83", "Units METERS", then "Parameters" with one number or an
 * angle in degrees, minutes and seconds a line. Layout: common practice, as GDAL 3.6 reads it (importFromESRI).
 */
function crsFromWords(text: string, file: string): Promise<Result<Crs>> {
  const lines = text.split(/\r?\n/).map((l) => l.replace(/\/\*.*$/, '').trim());
  const word = (key: string): string =>
    lines
      .find((l) => new RegExp(`^${key}\\s`, 'i').test(l))
      ?.split(/\s+/)[1]
      ?.toUpperCase() ?? '';
  const parameters = lines
    .slice(lines.findIndex((l) => /^parameters/i.test(l)) + 1)
    .map((l) => l.split(/\s+/).map(Number))
    .filter((n) => n.length > 0 && n.every(Number.isFinite))
    .map(([d, m = 0, s = 0]) => (d < 0 || Object.is(d, -0) ? -1 : 1) * (Math.abs(d) + m / 60 + s / 3600));
  const projection = word('projection');
  const datum = DATUMS[word('datum')] ?? (/^GRS/.test(word('spheroid')) ? '+datum=NAD83' : null);
  const unit = UNITS[word('units')] ?? 'm';
  const at = (i: number): number => parameters[i] ?? 0;
  const shape =
    projection === 'GEOGRAPHIC'
      ? '+proj=longlat'
      : projection === 'UTM'
        ? `+proj=utm +zone=${Math.abs(Number(word('zone')))}${Number(word('zone')) < 0 ? ' +south' : ''} +units=m`
        : projection === 'ALBERS' && parameters.length >= 6
          ? `+proj=aea +lat_1=${at(0)} +lat_2=${at(1)} +lon_0=${at(2)} +lat_0=${at(3)} +x_0=${at(4)} +y_0=${at(5)} +units=${unit}`
          : null;
  if (shape === null || datum === null)
    return Promise.resolve(
      fail(
        'crs',
        file,
        shape === null
          ? `names the projection "${projection}" in a way that is not understood`
          : `names no datum that is known ("${word('datum')}")`,
        'Give the coordinate system as an EPSG code, a WKT or a PROJ string.',
      ),
    );
  return crsFrom(`${shape} ${datum} +no_defs`, file);
}
