/** How work by hand is drawn: outlines of stands, photos of the chosen tree, and a candidate that is being set down or moved. */
import type { LayerSpecification } from 'maplibre-gl';
import type { Colours } from './colours.ts';
import { at, feature, made, point } from './features.ts';
import { byZoom } from './groundLayers.ts';
import type { MapSource, MapStyle } from './mapStyle.ts';
import { markName } from './marks.ts';
import type { MapView } from './view.ts';

export function handStyle(view: MapView, c: Colours): MapStyle {
  const { stands, stand, photos, draft } = view;
  const sources: Record<string, MapSource> = {};
  const layers: LayerSpecification[] = [];
  if (stands) {
    sources['stands'] = { kind: 'file', blob: stands, options: {} };
    layers.push(
      {
        id: 'stand fill',
        type: 'fill',
        source: 'stands',
        paint: { 'fill-color': c.accent, 'fill-opacity': 0.1 },
      },
      {
        id: 'stand edge',
        type: 'line',
        source: 'stands',
        paint: { 'line-color': c.accent, 'line-width': byZoom(8, 0.6, 14, 1.4) },
      },
    );
  }
  if (stand) {
    sources['stand'] = made(stand, () => [
      {
        type: 'Feature',
        properties: {},
        geometry: {
          type: 'MultiPolygon',
          coordinates: stand.map((p) => p.map((r) => r.map(([x, y]) => [x, y]))),
        },
      },
    ]);
    layers.push({
      id: 'stand chosen',
      type: 'line',
      source: 'stand',
      paint: { 'line-color': c.ink, 'line-width': 2.6 },
    });
  }
  if (photos.length > 0) {
    sources['photo'] = made(photos, () =>
      photos.map((p) => feature(point(p), { direction: p.direction ?? -1 })),
    );
    layers.push(
      {
        id: 'photo/way',
        type: 'symbol',
        source: 'photo',
        filter: ['>=', ['get', 'direction'], 0],
        layout: {
          'icon-image': markName('view', view.scheme),
          'icon-rotate': ['get', 'direction'],
          'icon-rotation-alignment': 'map',
          'icon-allow-overlap': true,
          'icon-ignore-placement': true,
        },
      },
      {
        id: 'photo',
        type: 'symbol',
        source: 'photo',
        layout: {
          'icon-image': markName('photo', view.scheme),
          'icon-allow-overlap': true,
          'icon-ignore-placement': true,
        },
      },
    );
  }
  if (draft) {
    const { from, place } = draft;
    const moved = from && (from.lon !== place.lon || from.lat !== place.lat);
    sources['draft'] = made(draft, () => [
      ...(moved
        ? [
            {
              type: 'Feature' as const,
              properties: { what: 'line' },
              geometry: { type: 'LineString' as const, coordinates: [at(from), at(place)] },
            },
            feature(point(from), { what: 'from' }),
          ]
        : []),
      feature(point(place), { what: 'place' }),
    ]);
    layers.push(
      {
        id: 'draft line',
        type: 'line',
        source: 'draft',
        filter: ['==', ['get', 'what'], 'line'],
        paint: { 'line-color': c.ink, 'line-width': 1.6, 'line-dasharray': [2, 1.6] },
      },
      {
        id: 'draft from',
        type: 'circle',
        source: 'draft',
        filter: ['==', ['get', 'what'], 'from'],
        paint: {
          'circle-radius': 6,
          'circle-color': c.paper,
          'circle-stroke-color': c.ink,
          'circle-stroke-width': 1.6,
        },
      },
      {
        id: 'draft',
        type: 'symbol',
        source: 'draft',
        filter: ['==', ['get', 'what'], 'place'],
        layout: {
          'icon-image': markName('draft', view.scheme),
          'icon-allow-overlap': true,
          'icon-ignore-placement': true,
        },
      },
    );
  }
  return { sources, layers };
}
