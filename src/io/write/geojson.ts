import type { Line, MultiPolygon, Place, Ring } from '../../domain/base/geo.ts';
import type { Cell } from './csv.ts';

export type GeoGeometry =
  | { readonly kind: 'place'; readonly place: Place }
  | { readonly kind: 'line'; readonly line: Line }
  | { readonly kind: 'lines'; readonly lines: readonly Line[] }
  | { readonly kind: 'area'; readonly area: MultiPolygon };

export interface GeoFeature {
  readonly id?: string | number;
  readonly geometry: GeoGeometry;
  readonly properties: Readonly<Record<string, Cell>>;
}

/**
 * A FeatureCollection of RFC 7946: WGS 84 lon, lat with at most seven decimals (a centimetre, its section 11.2), outer rings
 * counterclockwise and holes clockwise (3.1.6). What is not known is null, a place that is not known a geometry of null (3.2).
 */
export function geojson(features: readonly GeoFeature[]): string {
  return JSON.stringify({ type: 'FeatureCollection', features: features.map(featureOf) });
}

/** The same piece by piece, a line a feature: for layers too long for one string. */
export function* geojsonPieces(features: Iterable<GeoFeature>): Generator<string> {
  let piece = '{"type":"FeatureCollection","features":[';
  let first = true;
  for (const feature of features) {
    piece += (first ? '\n' : ',\n') + JSON.stringify(featureOf(feature));
    first = false;
    if (piece.length < PIECE) continue;
    yield piece;
    piece = '';
  }
  yield piece + '\n]}\n';
}

/** Characters a piece. */
const PIECE = 65_536;

function featureOf({ id, geometry, properties }: GeoFeature): object {
  return {
    type: 'Feature',
    ...(id === undefined ? {} : { id }),
    geometry: coordinates(geometry),
    properties: Object.fromEntries(
      Object.entries(properties).map(([k, v]) => [
        k,
        typeof v === 'number' && !Number.isFinite(v) ? null : v,
      ]),
    ),
  };
}

/** A geometry as GeoJSON has it, by which other writers make theirs. */
export interface GeoCoordinates {
  readonly type: string;
  readonly coordinates: unknown;
}

type Position = readonly [number, number];

const position = ([lon, lat]: Position): Position => [Number(lon.toFixed(7)), Number(lat.toFixed(7))];

export function coordinates(geometry: GeoGeometry): GeoCoordinates | null {
  switch (geometry.kind) {
    case 'place': {
      const { lon, lat } = geometry.place;
      if (!Number.isFinite(lon) || !Number.isFinite(lat)) return null;
      return { type: 'Point', coordinates: position([lon, lat]) };
    }
    case 'line':
      return { type: 'LineString', coordinates: geometry.line.map(position) };
    case 'lines':
      return geometry.lines.length === 1
        ? { type: 'LineString', coordinates: geometry.lines[0].map(position) }
        : { type: 'MultiLineString', coordinates: geometry.lines.map((line) => line.map(position)) };
    case 'area': {
      const polygons = geometry.area.map((rings) => rings.map((ring, i) => wound(ring, i === 0)));
      return polygons.length === 1
        ? { type: 'Polygon', coordinates: polygons[0] }
        : { type: 'MultiPolygon', coordinates: polygons };
    }
  }
}

/** The ring rounded, closed and in the direction asked for. */
function wound(ring: Ring, counterclockwise: boolean): Position[] {
  const out = ring.map(position);
  const [first, last] = [out[0], out[out.length - 1]];
  if (out.length > 0 && (first[0] !== last[0] || first[1] !== last[1])) out.push(first);
  let twice = 0;
  // About the first corner: coordinates of some 100 degrees would eat the digits of a small ring.
  for (let i = 1; i < out.length; i++)
    twice +=
      (out[i - 1][0] - first[0]) * (out[i][1] - first[1]) -
      (out[i][0] - first[0]) * (out[i - 1][1] - first[1]);
  return twice < 0 === counterclockwise ? out.reverse() : out;
}
