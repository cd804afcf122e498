/** Does the steps of a diff on a live map. */
import type { GeoJSONSource, Map as GlMap, SourceSpecification } from 'maplibre-gl';
import type { Step } from './diff.ts';
import type { MapSource } from './mapStyle.ts';

type Bounds = [number, number, number, number];

/** Finest tiles that are made of a raster; beyond, the map stretches them. */
const FINEST = 15;

/** Resolves when the map's worker has read all data that changed; addresses of Blobs are given back then. */
export async function apply(map: GlMap, steps: readonly Step[]): Promise<void> {
  const reading: Promise<unknown>[] = [];
  for (const step of steps) {
    switch (step.do) {
      case 'remove layer':
        map.removeLayer(step.id);
        break;
      case 'remove source':
        map.removeSource(step.id);
        break;
      case 'add source':
        map.addSource(step.id, specification(step.source));
        if (step.source.kind === 'file') reading.push(setData(map, step.id, step.source));
        break;
      case 'set data':
        reading.push(setData(map, step.id, step.source));
        break;
      case 'add layer':
        map.addLayer(step.layer, step.before);
        break;
      case 'paint':
        map.setPaintProperty(step.id, step.name as never, step.value as never);
        break;
      case 'layout':
        map.setLayoutProperty(step.id, step.name as never, step.value as never);
        break;
      case 'filter':
        map.setFilter(step.id, step.value as never);
        break;
    }
  }
  await Promise.all(reading);
}

function specification(source: MapSource): SourceSpecification {
  switch (source.kind) {
    case 'raster':
      return {
        type: 'raster',
        tiles: [source.tiles],
        tileSize: 256,
        bounds: [...source.bounds],
        maxzoom: FINEST,
      };
    case 'basemap': {
      const { type, tiles, scheme, minzoom, maxzoom, bounds } = source;
      const common = {
        tiles: [tiles],
        scheme,
        minzoom,
        maxzoom,
        ...(bounds ? { bounds: [...bounds] as Bounds } : {}),
      };
      return type === 'raster' ? { type, tileSize: 256, ...common } : { type, ...common };
    }
    case 'file':
      return { type: 'geojson', data: collection([]), ...source.options };
    case 'features':
      return { type: 'geojson', data: collection(source.features()), ...source.options };
  }
}

const collection = (features: GeoJSON.Feature[]): GeoJSON.FeatureCollection => ({
  type: 'FeatureCollection',
  features,
});

async function setData(map: GlMap, id: string, source: MapSource): Promise<void> {
  const target = map.getSource<GeoJSONSource>(id);
  if (!target || source.kind === 'raster' || source.kind === 'basemap') return;
  if (source.kind === 'features') {
    await target.setData(collection(source.features()));
    return;
  }
  // By address, so that the map's worker parses the text and the page does not.
  const url = URL.createObjectURL(source.blob);
  try {
    await target.setData(url);
  } finally {
    URL.revokeObjectURL(url);
  }
}
