import type { RawGeometry } from './geometry.ts';
import { readWkb, WkbTrouble, type Wkb } from './wkb.ts';

/** Kinds whose positions are kept as lists (GeoParquet 1.1, "native" encodings). */
const TYPES: Readonly<Record<string, string>> = {
  point: 'Point',
  linestring: 'LineString',
  polygon: 'Polygon',
  multipoint: 'MultiPoint',
  multilinestring: 'MultiLineString',
  multipolygon: 'MultiPolygon',
};

export function geometryFrom(value: unknown, encoding: string): Wkb {
  if (value === null || value === undefined) return { geometry: null, heights: false, measures: false };
  if (encoding === 'WKB') {
    if (!(value instanceof Uint8Array)) throw new WkbTrouble('it is not binary');
    return readWkb(value);
  }
  const met = { heights: false, measures: false };
  const coordinates = positions(value, met);
  const empty = Array.isArray(coordinates) && coordinates.length === 0;
  const geometry: RawGeometry | null = empty ? null : { type: TYPES[encoding], coordinates };
  return { geometry, ...met };
}

/** { x, y } or lists of them, to [x, y] or lists of those. */
function positions(value: unknown, met: { heights: boolean; measures: boolean }): unknown {
  if (Array.isArray(value)) return value.map((v) => positions(v, met));
  const at = value as Readonly<Record<string, unknown>> | null;
  if (typeof at?.['x'] !== 'number' || typeof at['y'] !== 'number') throw new WkbTrouble('it has no x and y');
  if ('z' in at) met.heights = true;
  if ('m' in at) met.measures = true;
  return [at['x'], at['y']];
}

/** Numbers, texts and truths as they are; lists and records as their JSON text; binary values as nothing. */
export function valueFrom(value: unknown, met: { binary: boolean }): string | number | boolean | null {
  if (value === null || value === undefined) return null;
  if (typeof value === 'string' || typeof value === 'boolean') return value;
  if (typeof value === 'number') return Number.isNaN(value) ? null : value;
  // Whole numbers beyond those that a number holds to the unit are kept as text: they are names.
  if (typeof value === 'bigint')
    return Number.isSafeInteger(Number(value)) ? Number(value) : value.toString();
  if (value instanceof Uint8Array) {
    met.binary = true;
    return null;
  }
  return JSON.stringify(value, (_, v: unknown) =>
    typeof v === 'bigint' ? v.toString() : v instanceof Uint8Array ? null : v,
  );
}
