/** What the members of a GeoJSON text are, whatever is in them. */
import { ok, type Result } from '../../../domain/base/result.ts';
import { crsFrom, type Crs } from '../../crs/crs.ts';
import type { RawFeature, RawGeometry } from './geometry.ts';

/** The features of a FeatureCollection, a Feature, or a bare geometry; null where it is none of these. */
export function featuresOf(value: unknown): RawFeature[] | null {
  if (typeof value !== 'object' || value === null || !('type' in value)) return null;
  const { type } = value;
  if (type === 'FeatureCollection') {
    const { features } = value as { features?: unknown };
    return Array.isArray(features) ? features.map(featureOf) : null;
  }
  if (type === 'Feature') return [featureOf(value)];
  if (typeof type === 'string' && ('coordinates' in value || 'geometries' in value))
    return [{ geometry: value as RawGeometry, properties: null }];
  return null;
}

/** Geometry and properties; the number or name that a feature may have beside its properties joins them as "id". */
export function featureOf(value: unknown): RawFeature {
  const { geometry, properties, id } = (value ?? {}) as {
    geometry?: RawGeometry;
    properties?: RawFeature['properties'];
    id?: unknown;
  };
  const named = typeof id === 'string' || typeof id === 'number';
  const own = typeof properties === 'object' && properties !== null && !Array.isArray(properties);
  return {
    geometry: geometry ?? null,
    properties: named && !(own && Object.hasOwn(properties, 'id')) ? { id, ...(own ? properties : {}) } : (properties ?? null), // prettier-ignore
  };
}

/** Of the "crs" member of the 2008 draft, which some programs still write; null: degrees on WGS 84. */
export async function memberCrs(value: unknown, file: string): Promise<Result<Crs | null>> {
  const name = (value as { crs?: { properties?: { name?: unknown } } } | null)?.crs?.properties?.name;
  if (typeof name !== 'string' || /CRS:?84$|EPSG:+4326$/i.test(name)) return ok(null);
  return crsFrom(name, file);
}
