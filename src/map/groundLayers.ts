/** The ground beneath all else: outlines where the user brings none, and pictures of rasters. */
import type { ExpressionSpecification, LayerSpecification } from 'maplibre-gl';
import type { Colours } from './colours.ts';
import { SERIF } from './fonts.ts';
import { layerId } from './order.ts';
import type { MapView } from './view.ts';

/** A number that grows with the zoom: pairs of zoom and value, straight between them. */
export const byZoom = (...stops: readonly unknown[]): ExpressionSpecification =>
  ['interpolate', ['linear'], ['zoom'], ...stops] as unknown as ExpressionSpecification;

export const outlineLayers = (c: Colours): LayerSpecification[] => [
  {
    id: 'counties',
    type: 'line',
    source: 'counties',
    minzoom: 6,
    paint: { 'line-color': c.rule, 'line-width': byZoom(6, 0.4, 9, 0.9) },
  },
  {
    id: 'states',
    type: 'line',
    source: 'states',
    layout: { 'line-join': 'round' },
    paint: { 'line-color': c.quiet, 'line-width': byZoom(4, 0.6, 9, 1.2), 'line-opacity': 0.55 },
  },
  {
    id: 'state names',
    type: 'symbol',
    source: 'state names',
    maxzoom: 9,
    layout: {
      'text-field': ['get', 'name'],
      'text-font': SERIF,
      'text-size': byZoom(4, 10, 8, 15),
      'text-letter-spacing': 0.14,
      'text-max-width': 7,
      'text-padding': 8,
    },
    paint: {
      'text-color': c.quiet,
      'text-halo-color': c.paper,
      'text-halo-width': 1.2,
      'text-opacity': 0.85,
    },
  },
];

export const rasterLayer = (r: MapView['rasters'][number]): LayerSpecification => ({
  id: layerId('raster', r.id),
  type: 'raster',
  source: `raster/${r.id}`,
  paint: {
    'raster-opacity': r.opacity,
    'raster-fade-duration': 0,
    'raster-resampling': r.style === 'values' ? 'nearest' : 'linear',
  },
});
