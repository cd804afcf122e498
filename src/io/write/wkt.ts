import { coordinates, type GeoGeometry } from './geojson.ts';

/**
 * Well-known text (OGC 06-103r4, 7.2) of a geometry: longitude and latitude with at most seven decimals, outer rings
 * counterclockwise; '' for a place that is not known.
 */
export function wkt(geometry: GeoGeometry): string {
  const made = coordinates(geometry);
  if (!made) return '';
  const text = listed(made.coordinates);
  return `${made.type.toUpperCase()} ${made.type === 'Point' ? `(${text})` : text}`;
}

function listed(value: unknown): string {
  const list = value as unknown[];
  return typeof list[0] === 'number'
    ? `${plain(list[0])} ${plain(list[1])}`
    : `(${list.map(listed).join(', ')})`;
}

/** Never "1e-7". */
const plain = (x: unknown): string => {
  const text = String(x);
  return text.includes('e') ? (x as number).toFixed(7).replace(/\.?0+$/, '') : text;
};
