import { fail, ok, type Result } from '../../domain/base/result.ts';
import { crsFrom, type Crs } from '../crs.ts';
import { featuresFrom, type RawFeature, type RawGeometry } from './geometry.ts';
import { decodeText } from './text.ts';
import type { Format } from './types.ts';

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
    const bytes = await source.readAll();
    if (!bytes.ok) return bytes;
    const { text, notes } = decodeText(bytes.value, source.name);
    let value: unknown;
    try {
      value = JSON.parse(text);
    } catch (error) {
      return fail(
        'format',
        source.name,
        `is not valid JSON (${error instanceof Error ? error.message : String(error)})`,
        'Get the file again, or check where it was edited.',
      );
    }
    const raw = featuresOf(value);
    if (!raw) return fail('format', source.name, 'is JSON, but not GeoJSON', 'Give a FeatureCollection.');
    const crs = await (options.crs ? crsFrom(options.crs, source.name) : ownCrs(value, source.name));
    if (!crs.ok) return crs;
    const read = featuresFrom(raw, crs.value, source.name, options);
    if (!read.ok) return read;
    const { content, extent, offers } = read.value;
    const count = content.kind === 'raster' || content.kind === 'table' ? 0 : content.features.length;
    return ok({
      file: source.name,
      format: 'GeoJSON',
      content,
      crs: crs.value?.name ?? 'EPSG:4326',
      extent,
      count,
      notes: [...notes, ...read.value.notes],
      offers,
    });
  },
};

function featuresOf(value: unknown): RawFeature[] | null {
  if (typeof value !== 'object' || value === null || !('type' in value)) return null;
  const { type } = value;
  if (type === 'FeatureCollection') {
    const { features } = value as { features?: unknown };
    return Array.isArray(features)
      ? features.map((f) => ({
          geometry: (f as RawFeature | null)?.geometry ?? null,
          properties: (f as RawFeature | null)?.properties ?? null,
        }))
      : null;
  }
  if (type === 'Feature') return [value as unknown as RawFeature];
  if (typeof type === 'string' && ('coordinates' in value || 'geometries' in value))
    return [{ geometry: value as RawGeometry, properties: null }];
  return null;
}

async function ownCrs(value: unknown, file: string): Promise<Result<Crs | null>> {
  const name = (value as { crs?: { properties?: { name?: unknown } } }).crs?.properties?.name;
  if (typeof name !== 'string' || /CRS:?84$|EPSG:+4326$/i.test(name)) return ok(null);
  return crsFrom(name, file);
}
