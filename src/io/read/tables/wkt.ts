/** Well-known text, through a library that is loaded only where a table has it. */
import type { RawGeometry } from '../vectors/geometry.ts';

export type ReadWkt = (text: string) => RawGeometry | null;

/** The reader of well-known text: a geometry with its coordinates as they stand there; null for text that is none, or empty. */
export async function loadWkt(): Promise<ReadWkt> {
  const { wktToGeoJSON } = await import('betterknown');
  return (text) => {
    try {
      // The system that EWKT names in front ("SRID=4326;") is the layer's affair.
      return wktToGeoJSON(text.replace(/^\s*SRID=\d+;/i, ''), { emptyAsNull: true });
    } catch {
      // The library throws for what it does not understand, a curve for instance: the caller notes the row.
      return null;
    }
  };
}

/** x and y of a point as written; null for anything else. */
export function pointOf(geometry: RawGeometry | null): readonly [number, number] | null {
  if (geometry?.type !== 'Point' || !Array.isArray(geometry.coordinates)) return null;
  const [x, y] = geometry.coordinates as unknown[];
  return typeof x === 'number' && typeof y === 'number' ? [x, y] : null;
}
