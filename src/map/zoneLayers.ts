/** Zones: thin ink lines, the home zones' heavier and with a band of colour on its inner side, names along the lines. */
import type { ExpressionSpecification, FilterSpecification, LayerSpecification } from 'maplibre-gl';
import { coloursOf } from './colours.ts';
import { SERIF } from './fonts.ts';
import { layerId } from './order.ts';
import type { Scheme } from './view.ts';

/** @param home indices of the zones that the sites lie in. */
export function zoneLayers(
  layer: string,
  source: string,
  home: readonly number[],
  opacity: number,
  scheme: Scheme,
): LayerSpecification[] {
  const c = coloursOf(scheme);
  const isHome: ExpressionSpecification & FilterSpecification = [
    'in',
    ['get', 'index'],
    ['literal', [...home]],
  ];
  return [
    {
      id: layerId('home band', layer),
      type: 'line',
      source,
      filter: isHome,
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': c.accent,
        'line-width': 7,
        // Outer rings run clockwise in the map's tiles: right of the line is inside.
        'line-offset': 4,
        'line-opacity': opacity * (scheme === 'dark' ? 0.24 : 0.17),
      },
    },
    {
      id: layerId('zone line', layer),
      type: 'line',
      source,
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': c.ink,
        'line-width': ['interpolate', ['linear'], ['zoom'], 5, 0.4, 8, 0.6, 13, 1],
        'line-opacity': 0.7 * opacity,
      },
    },
    {
      id: layerId('home line', layer),
      type: 'line',
      source,
      filter: isHome,
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': c.ink,
        'line-width': ['interpolate', ['linear'], ['zoom'], 6, 1.1, 8, 1.5, 13, 2.2],
        'line-opacity': opacity,
      },
    },
    {
      id: layerId('zone name', layer),
      type: 'symbol',
      source,
      minzoom: 8,
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 260,
        'text-field': ['get', 'name'],
        'text-font': SERIF,
        'text-size': ['interpolate', ['linear'], ['zoom'], 8, 10.5, 12, 13],
        'text-padding': 6,
        // To the right of the line, which is inside the zone that is named.
        'text-offset': [0, 1.05],
        'text-letter-spacing': 0.06,
        'text-max-angle': 36,
      },
      paint: {
        'text-color': ['case', isHome, c.ink, c.quiet],
        'text-halo-color': c.paper,
        'text-halo-width': 1.6,
        'text-opacity': opacity,
      },
    },
  ];
}
