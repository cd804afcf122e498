/** What lies around the trees, kept quiet. The colour is the legend's; pattern and line tell it apart without colour. */
import type { LayerSpecification } from 'maplibre-gl';
import type { LayerDefinition, Role } from '../domain/layers/definition.ts';
import { coloursOf, legendColour } from './colours.ts';
import { markName } from './marks.ts';
import { layerId, type Slot } from './order.ts';
import type { Scheme } from './view.ts';

/** Roads that lead somewhere (OpenStreetMap's key highway); others, and those without a class, are drawn as lesser. */
const MAIN = ['motorway', 'trunk', 'primary', 'secondary', 'tertiary'];

export function contextLayers(
  layer: string,
  source: string,
  definition: LayerDefinition,
  opacity: number,
  scheme: Scheme,
): LayerSpecification[] {
  const { legend, geometry, role } = definition;
  const colour = legendColour(legend.kind === 'single' ? legend.colour : coloursOf('light').quiet, scheme);
  const id = (slot: Slot): string => layerId(slot, layer);
  if (geometry === 'line') {
    const main = ['in', ['get', 'highway'], ['literal', MAIN]];
    const width = (less: number, more: number) => ['case', main, more, less];
    return [
      {
        id: id('road'),
        type: 'line',
        source,
        minzoom: 8,
        layout: { 'line-cap': 'round', 'line-join': 'round' },
        paint: {
          'line-color': colour,
          'line-opacity': opacity * 0.85,
          'line-width': [
            'interpolate',
            ['linear'],
            ['zoom'],
            8,
            width(0.25, 0.8),
            12,
            width(0.8, 1.8),
            16,
            width(2, 4.5),
          ] as never,
        },
      },
    ];
  }
  if (geometry === 'point')
    return [
      {
        id: id('street tree'),
        type: 'symbol',
        source,
        minzoom: 11,
        layout: {
          'icon-image': markName('cross', colour),
          'icon-size': ['interpolate', ['linear'], ['zoom'], 11, 0.6, 15, 1],
          'icon-allow-overlap': true,
          'icon-ignore-placement': true,
        },
        paint: { 'icon-opacity': opacity * 0.85 },
      },
    ];
  if (role === 'buildings')
    return [
      {
        id: id('building'),
        type: 'fill',
        source,
        minzoom: 11,
        paint: { 'fill-color': colour, 'fill-opacity': opacity * 0.8 },
      },
    ];
  return areaLayers(id, source, role, colour, opacity);
}

function areaLayers(
  id: (slot: Slot) => string,
  source: string,
  role: Role,
  colour: `#${string}`,
  opacity: number,
): LayerSpecification[] {
  if (role === 'range') return rangeLayers(id, source, colour, opacity);
  const name = role === 'barrier' ? 'water' : 'setting';
  return [
    {
      id: id(`${name} fill`),
      type: 'fill',
      source,
      paint: {
        'fill-pattern': markName(name === 'water' ? 'waves' : 'hatch', colour),
        'fill-opacity': opacity * 0.6,
      },
    },
    {
      id: id(`${name} edge`),
      type: 'line',
      source,
      layout: { 'line-join': 'round' },
      paint: { 'line-color': colour, 'line-opacity': opacity, 'line-width': 0.9 },
    },
  ];
}

/** Ranges lie over one another and over everything: a fill would grey the whole map, a band inside the line does not. */
function rangeLayers(
  id: (slot: Slot) => string,
  source: string,
  colour: `#${string}`,
  opacity: number,
): LayerSpecification[] {
  return [
    {
      id: id('range band'),
      type: 'line',
      source,
      layout: { 'line-join': 'round' },
      // Outer rings run clockwise in the map's tiles: right of the line is inside.
      paint: { 'line-color': colour, 'line-width': 8, 'line-offset': 4, 'line-opacity': opacity * 0.13 },
    },
    {
      id: id('range edge'),
      type: 'line',
      source,
      layout: { 'line-join': 'round' },
      paint: {
        'line-color': colour,
        'line-opacity': opacity,
        'line-width': 1.5,
        'line-dasharray': [5, 2, 1, 2],
      },
    },
  ];
}
