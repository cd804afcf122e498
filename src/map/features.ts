/** GeoJSON for the sources of the map. */
import type { Feature, Geometry } from 'geojson';
import type { Place } from '../domain/base/geo.ts';
import type { MapSource } from './mapStyle.ts';

export const at = ({ lon, lat }: Place): [number, number] => [lon, lat];

export const point = (place: Place): Geometry => ({ type: 'Point', coordinates: at(place) });

export const feature = (
  geometry: Geometry,
  properties: Record<string, unknown> = {},
  id?: number,
): Feature => ({
  type: 'Feature',
  properties,
  geometry,
  ...(id === undefined ? {} : { id }),
});

/** A source that is made anew when `of`, what it is made of, is another. */
export const made = (of: unknown, features: () => Feature[]): MapSource => ({
  kind: 'features',
  key: JSON.stringify(of),
  features,
  options: {},
});
