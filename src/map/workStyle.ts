/** How the work is drawn: candidates, members with their discs, reserves, route, and what is pointed at. */
import type { Feature, Geometry } from 'geojson';
import type { LayerSpecification } from 'maplibre-gl';
import type { Place } from '../domain/base/geo.ts';
import { geodesicRing } from '../domain/base/geodesy.ts';
import type { Colours } from './colours.ts';
import { at, feature, made, point } from './features.ts';
import { SANS, SERIF } from './fonts.ts';
import { byZoom } from './groundLayers.ts';
import { markName } from './marks.ts';
import type { MapSource, MapStyle } from './mapStyle.ts';
import type { MapView, Scheme } from './view.ts';

const DISC_POINTS = 64;
const ALL_DRAWN = { 'icon-allow-overlap': true, 'icon-ignore-placement': true } as const;
const ALL_WRITTEN = { 'text-allow-overlap': true, 'text-ignore-placement': true } as const;

export function workStyle(view: MapView, c: Colours): MapStyle {
  const { members, reserves, route, selected, hovered, spacing } = view;
  const sources: Record<string, MapSource> = {
    disc: made([members.map(at), spacing], () => members.map((m) => feature(disc(m, spacing / 2)))),
    member: made([members, view.scheme], () =>
      members.map((m, i) =>
        feature(
          point(m),
          { label: m.label, order: -i, mark: markName(m.overridden ? 'overridden' : 'member', view.scheme) },
          m.row,
        ),
      ),
    ),
    reserve: made([reserves], () =>
      reserves.map((r, i) => feature(point(r), { label: r.label, order: -i }, r.row)),
    ),
    pointed: made([selected, hovered], () => [
      ...(selected ? [feature(point(selected), { selected: true, label: selected.text ?? '' })] : []),
      ...(hovered ? [feature(point(hovered), { selected: false, label: hovered.text })] : []),
    ]),
    route: made([route?.line.map(at)], () =>
      route ? [feature({ type: 'LineString', coordinates: route.line.map(at) })] : [],
    ),
    'route end': made([route?.start, route?.end], () => (route ? routeEnds(route) : [])),
    ...(view.points
      ? { points: { kind: 'file', blob: view.points, options: { buffer: 32, maxzoom: 14 } } as const }
      : {}),
  };
  const layers = [
    ...discLayers(c),
    ...routeLayers(view.scheme, c),
    ...(view.points ? pointLayers(view.showRuledOut, view.scheme, c) : []),
    markLayer('reserve', markName('reserve', view.scheme), c.accent, 10.5),
    markLayer('member', ['get', 'mark'], c.onAccent, 12),
    ...pointedLayers(c),
  ];
  return { sources, layers };
}

function routeEnds({ start, end }: NonNullable<MapView['route']>): Feature[] {
  return start.lon === end.lon && start.lat === end.lat
    ? [feature(point(start), { label: 'Start and end' })]
    : [feature(point(start), { label: 'Start' }), feature(point(end), { label: 'End' })];
}

/** A circle on the ground, closed: with 64 corners at 200 m it is nowhere more than 0.25 m inside the true one. */
function disc(centre: Place, metres: number): Geometry {
  const ring = geodesicRing(centre.lon, centre.lat, metres, DISC_POINTS).map(at);
  return { type: 'Polygon', coordinates: [[...ring, ring[0]]] };
}

const discLayers = (c: Colours): LayerSpecification[] => [
  { id: 'disc fill', type: 'fill', source: 'disc', paint: { 'fill-color': c.accent, 'fill-opacity': 0.13 } },
  {
    id: 'disc edge',
    type: 'line',
    source: 'disc',
    paint: { 'line-color': c.accent, 'line-width': byZoom(9, 0.5, 14, 1.3), 'line-opacity': 0.7 },
  },
];

const routeLayers = (scheme: Scheme, c: Colours): LayerSpecification[] => [
  {
    id: 'route casing',
    type: 'line',
    source: 'route',
    layout: { 'line-join': 'round', 'line-cap': 'round' },
    paint: { 'line-color': c.paper, 'line-width': 4.5, 'line-opacity': 0.75 },
  },
  {
    id: 'route line',
    type: 'line',
    source: 'route',
    layout: { 'line-join': 'round' },
    // Dashes: a straight line between stops is no road.
    paint: { 'line-color': c.route, 'line-width': 2, 'line-dasharray': [2.5, 1.5] },
  },
  {
    id: 'route arrow',
    type: 'symbol',
    source: 'route',
    layout: {
      'symbol-placement': 'line',
      'symbol-spacing': 130,
      'icon-image': markName('arrow', scheme),
      'icon-rotation-alignment': 'map',
      ...ALL_DRAWN,
    },
  },
  {
    id: 'route end',
    type: 'symbol',
    source: 'route end',
    layout: {
      'icon-image': markName('end', scheme),
      'text-field': ['get', 'label'],
      'text-font': SERIF,
      'text-size': 13,
      'text-anchor': 'top',
      'text-offset': [0, 0.85],
      ...ALL_DRAWN,
      ...ALL_WRITTEN,
    },
    paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 2 },
  },
];

/** s: 0 eligible, 1 needs a check, 2 ruled out, 3 another species. Far out the dots shrink, so that many stay a pattern. */
function pointLayers(showRuledOut: boolean, scheme: Scheme, c: Colours): LayerSpecification[] {
  const visibility = showRuledOut ? 'visible' : 'none';
  return [
    {
      id: 'point other',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 3],
      layout: { visibility },
      paint: {
        'circle-radius': byZoom(6, 0.7, 10, 1.3, 14, 2.4),
        'circle-color': c.unknown,
        'circle-opacity': 0.65,
      },
    },
    {
      id: 'point out',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 2],
      layout: { visibility },
      paint: {
        'circle-radius': byZoom(6, 1, 10, 2.4, 14, 3.8),
        'circle-color': c.paper,
        'circle-opacity': 0.6,
        'circle-stroke-color': c.planted,
        'circle-stroke-width': byZoom(6, 0.6, 10, 1.2),
      },
    },
    {
      id: 'point check',
      type: 'symbol',
      source: 'points',
      filter: ['==', ['get', 's'], 1],
      layout: {
        'icon-image': markName('half', scheme),
        'icon-size': byZoom(6, 0.4, 10, 0.8, 14, 1.1),
        ...ALL_DRAWN,
      },
    },
    {
      id: 'point eligible',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 0],
      paint: {
        'circle-radius': byZoom(6, 1.6, 10, 4, 14, 5.5),
        'circle-color': c.natural,
        'circle-stroke-color': c.paper,
        'circle-stroke-width': byZoom(6, 0.4, 10, 1),
      },
    },
  ];
}

/** A picture with its label in it; of two that overlap the earlier lies on top, label and all. */
const markLayer = (
  id: 'member' | 'reserve',
  image: string | string[],
  colour: string,
  size: number,
): LayerSpecification => ({
  id,
  type: 'symbol',
  source: id,
  layout: {
    'icon-image': image as never,
    'icon-size': byZoom(6, 0.62, 10, 1),
    ...ALL_DRAWN,
    'text-field': ['get', 'label'],
    'text-font': SANS,
    'text-size': byZoom(6, size * 0.62, 10, size),
    ...ALL_WRITTEN,
    'symbol-sort-key': ['get', 'order'],
  },
  paint: { 'text-color': colour },
});

/** A ring about the mark, on paper, so that it shows on any ground; the chosen one heavier. */
const pointedLayers = (c: Colours): LayerSpecification[] => [
  {
    id: 'pointed',
    type: 'circle',
    source: 'pointed',
    paint: {
      'circle-radius': ['case', ['get', 'selected'], 16, 13],
      'circle-color': 'rgba(0,0,0,0)',
      'circle-stroke-color': c.ink,
      'circle-stroke-width': ['case', ['get', 'selected'], 2.6, 1.4],
    },
  },
  {
    id: 'pointed label',
    type: 'symbol',
    source: 'pointed',
    layout: {
      'text-field': ['get', 'label'],
      'text-font': SANS,
      'text-size': 13,
      'text-variable-anchor': ['bottom', 'top', 'left', 'right'],
      'text-radial-offset': 1.45,
      ...ALL_WRITTEN,
    },
    paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 2.5 },
  },
];
