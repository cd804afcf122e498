/** The user's basemap: pictures as they are (quieter on dark paper), or vector tiles drawn in the inks of the map. */
import type { LayerSpecification } from 'maplibre-gl';
import type { BasemapTiles } from '../domain/plan/basemap.ts';
import type { Colours } from './colours.ts';
import { SANS } from './fonts.ts';
import { byZoom } from './groundLayers.ts';
import type { MapSource } from './mapStyle.ts';
import { layerId } from './order.ts';
import type { Scheme } from './view.ts';

export const BASEMAP = 'basemap';

export const basemapSource = (b: BasemapTiles): MapSource => ({
  kind: 'basemap',
  key: JSON.stringify(b),
  type: b.kind,
  tiles: b.tiles,
  scheme: b.scheme,
  minzoom: b.minZoom,
  maxzoom: b.maxZoom,
  bounds: b.extent,
});

export function basemapLayers(b: BasemapTiles, scheme: Scheme, c: Colours): LayerSpecification[] {
  if (b.kind === 'raster')
    return [
      {
        id: layerId('basemap', 'pictures'),
        type: 'raster',
        source: BASEMAP,
        paint: {
          'raster-fade-duration': 0,
          // Made for white screens nearly all: on dark paper they would outshine the work.
          'raster-saturation': -0.35,
          'raster-brightness-max': scheme === 'dark' ? 0.62 : 1,
          'raster-opacity': scheme === 'dark' ? 0.8 : 0.9,
        },
      },
    ];
  return b.vectorLayers.flatMap((name) => vectorLayers(name, c));
}

const WATER = /water|ocean|sea|lake|river|stream/i;
const WAYS = /road|street|transport|highway|path|rail/i;

/** Nothing is known of the layers of a file but their names: areas faint, lines thin, names in quiet ink. */
function vectorLayers(name: string, c: Colours): LayerSpecification[] {
  const common = { source: BASEMAP, 'source-layer': name } as const;
  const water = WATER.test(name);
  return [
    {
      id: layerId('basemap', `areas ${name}`),
      type: 'fill',
      ...common,
      filter: ['==', ['geometry-type'], 'Polygon'],
      paint: { 'fill-color': water ? c.unknown : c.quiet, 'fill-opacity': water ? 0.28 : 0.06 },
    },
    {
      id: layerId('basemap', `lines ${name}`),
      type: 'line',
      ...common,
      filter: ['==', ['geometry-type'], 'LineString'],
      paint: {
        'line-color': water ? c.unknown : c.quiet,
        'line-width': byZoom(6, 0.4, 15, WAYS.test(name) ? 2.2 : 1),
        'line-opacity': 0.55,
      },
    },
    {
      id: layerId('basemap', `names ${name}`),
      type: 'symbol',
      ...common,
      filter: ['==', ['geometry-type'], 'Point'],
      layout: { 'text-field': ['to-string', ['get', 'name']], 'text-font': SANS, 'text-size': 12 },
      paint: { 'text-color': c.quiet, 'text-halo-color': c.paper, 'text-halo-width': 1.4 },
    },
  ];
}
