import { serialize } from 'flatgeobuf/lib/mjs/geojson.js';
import type { Local } from './frame.ts';
import { toLonLat } from './frame.ts';

/** null: without a value. */
type Attributes = Record<string, string | number | null>;

const pack = (features: object[]): Uint8Array =>
  serialize({ type: 'FeatureCollection', features } as Parameters<typeof serialize>[0], 4326);
const cross = (ring: ReadonlyArray<readonly [number, number]>): number =>
  ring.slice(1).reduce((sum, p, k) => sum + ring[k][0] * p[1] - p[0] * ring[k][1], 0);

/** Polygons in WGS 84 as FlatGeobuf; outer rings counter-clockwise (RFC 7946). */
export function polygonsFile(
  items: ReadonlyArray<{ readonly ring: readonly Local[]; readonly attributes: Attributes }>,
): Uint8Array {
  return pack(
    items.map(({ ring, attributes }) => {
      const wgs = ring.map((p) => toLonLat(p));
      if (cross(wgs) < 0) wgs.reverse();
      return { type: 'Feature', properties: attributes, geometry: { type: 'Polygon', coordinates: [wgs] } };
    }),
  );
}

export function linesFile(
  items: ReadonlyArray<{ readonly line: readonly Local[]; readonly attributes: Attributes }>,
): Uint8Array {
  return pack(
    items.map(({ line, attributes }) => ({
      type: 'Feature',
      properties: attributes,
      geometry: { type: 'LineString', coordinates: line.map((p) => toLonLat(p)) },
    })),
  );
}

export function pointsFile(
  items: ReadonlyArray<{ readonly place: Local; readonly attributes: Attributes }>,
): Uint8Array {
  return pack(
    items.map(({ place, attributes }) => ({
      type: 'Feature',
      properties: attributes,
      geometry: { type: 'Point', coordinates: toLonLat(place) },
    })),
  );
}
