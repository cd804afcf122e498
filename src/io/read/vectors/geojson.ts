import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import { crsFrom } from '../../crs/crs.ts';
import type { Source } from '../../source.ts';
import { geojsonFeatures } from './geojsonFeatures.ts';
import { isLines, readLines } from './geojsonLines.ts';
import { featureOf, featuresOf, memberCrs } from './geojsonValue.ts';
import type { RawFeature } from './geometry.ts';
import { decodeText } from '../text.ts';
import { topologyOpened } from './topojson.ts';
import type { Format, ReadOptions } from '../types.ts';
import { vectorOpened } from './vector.ts';
import { whole } from '../whole.ts';

/** Files from this size on are read feature by feature, with progress. */
const LARGE = 8e6;

/** GeoJSON (RFC 7946). The "crs" member of the 2008 draft is still written by some programs, and is followed. */
export const geojson: Format = {
  id: 'geojson',
  title: 'GeoJSON',
  extensions: ['geojson', 'json'],
  recognises(head, name) {
    const text = decodeText(head).text.trimStart();
    if (!text.startsWith('{')) return false;
    return (
      /"type"\s*:\s*"(FeatureCollection|Feature|Point|MultiPoint|LineString|MultiLineString|Polygon|MultiPolygon|GeometryCollection)"/.test(
        text,
      ) || /\.(geo)?json$/i.test(name)
    );
  },
  async read(source, options) {
    const bytes = await whole(source);
    if (!bytes.ok) return bytes;
    const parsed = await parse(bytes.value, source, options);
    if (!parsed.ok) return parsed;
    const { value, raw, notes } = parsed.value;
    // What its first bytes did not tell.
    if ((value as { type?: unknown } | null)?.type === 'Topology')
      return topologyOpened(value, source.name, options);
    if (!raw) return fail('format', source.name, 'is JSON, but not GeoJSON', 'Give a FeatureCollection.');
    const crs = await (options.crs ? crsFrom(options.crs, source.name) : memberCrs(value, source.name));
    if (!crs.ok) return crs;
    return vectorOpened({ file: source.name, format: 'GeoJSON', raw, crs: crs.value, notes }, options);
  },
};

interface Parsed {
  readonly value: unknown;
  readonly raw: readonly RawFeature[] | null;
  readonly notes: readonly Note[];
}

async function parse(bytes: Uint8Array, { name }: Source, { work }: ReadOptions): Promise<Result<Parsed>> {
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (bytes.length >= LARGE && !utf16) {
    const parts = await geojsonFeatures(bytes, name, work);
    if (!parts.ok) return parts;
    if (parts.value) {
      const { collection, features, notes } = parts.value;
      const whether = featuresOf(collection);
      return ok({ value: collection, raw: whether && features.map(featureOf), notes });
    }
  }
  const { text, notes } = decodeText(bytes, name);
  try {
    const value: unknown = JSON.parse(text);
    return ok({ value, raw: featuresOf(value), notes });
  } catch (error) {
    // Features one a line, under the name of a collection.
    if (isLines(bytes)) {
      const lines = await readLines(bytes, name, work);
      return lines.ok ? ok({ value: null, raw: lines.value.raw, notes: lines.value.notes }) : lines;
    }
    return fail(
      'format',
      name,
      `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
      'Get the file again, or check where it was edited.',
    );
  }
}
