/** GeoJSON text of a vector layer for the map's own worker: made here so that the page never parses it. */
import type { OpenLayer } from './desk.ts';

interface Feature {
  readonly type: 'Feature';
  readonly id: number;
  readonly properties: Record<string, string | number | boolean | null>;
  readonly geometry: { readonly type: string; readonly coordinates: unknown };
}

export function mapGeojson(layer: OpenLayer): Blob {
  return new Blob([JSON.stringify({ type: 'FeatureCollection', features: features(layer) })], {
    type: 'application/geo+json',
  });
}

function features(layer: OpenLayer): Feature[] {
  if (layer.zones) {
    return layer.zones.map((zone, id) => ({
      type: 'Feature',
      id,
      properties: { key: zone.key, name: zone.name, index: id },
      geometry: { type: 'MultiPolygon', coordinates: zone.area.geometry },
    }));
  }
  const { content } = layer.opened;
  switch (content.kind) {
    case 'polygon':
      return content.features.map((f, id) => ({
        type: 'Feature',
        id,
        properties: f.attributes,
        geometry: { type: 'MultiPolygon', coordinates: f.geometry },
      }));
    case 'line':
      return content.features.map((f, id) => ({
        type: 'Feature',
        id,
        properties: f.attributes,
        geometry: { type: 'MultiLineString', coordinates: f.lines },
      }));
    case 'point':
      return content.features.map((f, id) => ({
        type: 'Feature',
        id,
        properties: f.attributes,
        geometry: { type: 'Point', coordinates: [f.lon, f.lat] },
      }));
    case 'raster':
    case 'table':
      return [];
  }
}
