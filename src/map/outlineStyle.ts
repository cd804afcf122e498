/** Places that a question on screen is about: a frame with its words, and a ring where the frame is too small to see. */
import type { Feature } from 'geojson';
import type { Colours } from './colours.ts';
import { SANS } from './fonts.ts';
import type { MapStyle } from './mapStyle.ts';
import type { MapView } from './view.ts';

export function outlineStyle(outlines: MapView['outlines'], c: Colours): MapStyle {
  if (outlines.length === 0) return { sources: {}, layers: [] };
  const colour = ['case', ['get', 'chosen'], c.accent, c.unsettled] as never;
  return {
    sources: {
      outline: {
        kind: 'features',
        key: JSON.stringify(outlines),
        features: () => outlines.flatMap(features),
        options: {},
      },
    },
    layers: [
      {
        id: 'outline fill',
        type: 'fill',
        source: 'outline',
        filter: ['==', ['geometry-type'], 'Polygon'],
        paint: { 'fill-color': colour, 'fill-opacity': 0.07 },
      },
      {
        id: 'outline line',
        type: 'line',
        source: 'outline',
        filter: ['==', ['geometry-type'], 'Polygon'],
        layout: { 'line-join': 'round' },
        paint: { 'line-color': colour, 'line-width': 2.5, 'line-dasharray': [3, 1.5] },
      },
      {
        id: 'outline spot',
        type: 'circle',
        source: 'outline',
        filter: ['==', ['geometry-type'], 'Point'],
        paint: {
          'circle-radius': 7,
          'circle-color': colour,
          'circle-opacity': 0,
          'circle-stroke-color': colour,
          'circle-stroke-width': 2,
        },
      },
      {
        id: 'outline name',
        type: 'symbol',
        source: 'outline',
        filter: ['==', ['geometry-type'], 'Point'],
        layout: {
          'text-field': ['get', 'title'],
          'text-font': SANS,
          'text-size': 13,
          'text-anchor': 'top',
          'text-offset': [0, 0.8],
          'text-max-width': 14,
          'text-allow-overlap': true,
          'text-ignore-placement': true,
        },
        paint: { 'text-color': colour, 'text-halo-color': c.paper, 'text-halo-width': 1.6 },
      },
    ],
  };
}

function features({ box: [w, s, e, n], title, chosen }: MapView['outlines'][number]): Feature[] {
  const properties = { title, chosen };
  const ring = [
    [w, s],
    [e, s],
    [e, n],
    [w, n],
    [w, s],
  ];
  return [
    { type: 'Feature', properties, geometry: { type: 'Polygon', coordinates: [ring] } },
    { type: 'Feature', properties, geometry: { type: 'Point', coordinates: [(w + e) / 2, (s + n) / 2] } },
  ];
}
