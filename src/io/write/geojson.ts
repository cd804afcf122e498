import type { Cell } from './csv.ts';

export interface GeoFeature {
  readonly id?: string | number;
  readonly geometry:
    | { readonly type: 'Point'; readonly coordinates: readonly [number, number] }
    | { readonly type: 'LineString'; readonly coordinates: ReadonlyArray<readonly [number, number]> };
  readonly properties: Readonly<Record<string, Cell>>;
}

/** Seven decimals are a centimetre (RFC 7946, 11.2). */
const decimals = (x: number): number => Number(x.toFixed(7));

/** A FeatureCollection of RFC 7946: WGS 84 lon, lat; what is not known is null. */
export function geojson(features: readonly GeoFeature[]): string {
  return JSON.stringify({
    type: 'FeatureCollection',
    features: features.map(({ id, geometry, properties }) => ({
      type: 'Feature',
      ...(id === undefined ? {} : { id }),
      geometry:
        geometry.type === 'Point'
          ? { type: 'Point', coordinates: geometry.coordinates.map(decimals) }
          : { type: 'LineString', coordinates: geometry.coordinates.map((p) => p.map(decimals)) },
      properties: Object.fromEntries(
        Object.entries(properties).map(([k, v]) => [
          k,
          typeof v === 'number' && !Number.isFinite(v) ? null : v,
        ]),
      ),
    })),
  });
}
