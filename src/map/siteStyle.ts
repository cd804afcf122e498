/** How the sites of a planting are drawn, and an outline that is being drawn for one of them. */
import type { Feature, Geometry } from 'geojson';
import type { LayerSpecification } from 'maplibre-gl';
import type { MultiPolygon } from '../domain/base/geo.ts';
import type { Colours } from './colours.ts';
import { at, feature, made, point } from './features.ts';
import { SERIF } from './fonts.ts';
import { byZoom } from './groundLayers.ts';
import type { MapSource, MapStyle } from './mapStyle.ts';
import { markName } from './marks.ts';
import type { MapView, Scheme } from './view.ts';

export function siteStyle(view: MapView, c: Colours): MapStyle {
  const { sites, drawing, scheme } = view;
  const sources: Record<string, MapSource> = {};
  const layers: LayerSpecification[] = [];
  const areas = sites.flatMap(({ area }) => (area ? [area] : []));
  if (areas.length > 0) {
    sources['site area'] = made(areas, () => areas.map((area) => feature(shape(area))));
    layers.push(...areaLayers(scheme, c));
  }
  if (sites.length > 0) {
    sources['site'] = made(
      sites.map(({ lon, lat, title, first }) => [lon, lat, title, first]),
      () => sites.map((s, i) => feature(point(s), { label: s.title, first: s.first, order: i })),
    );
    layers.push(siteLayer(scheme, c));
  }
  if (drawing) {
    sources['drawing'] = made(drawing, () => drawnFeatures(drawing));
    layers.push(...drawingLayers(c));
  }
  return { sources, layers };
}

const shape = (area: MultiPolygon): Geometry => ({
  type: 'MultiPolygon',
  coordinates: area.map((polygon) => polygon.map((ring) => ring.map(([x, y]) => [x, y]))),
});
/** Hatched in ink, as ground on a survey plan: stands, which are filled, and ground in use show through. */
const areaLayers = (scheme: Scheme, c: Colours): LayerSpecification[] => [
  {
    id: 'site fill',
    type: 'fill',
    source: 'site area',
    paint: { 'fill-pattern': markName('ruling', scheme), 'fill-opacity': 0.5 },
  },
  {
    id: 'site edge',
    type: 'line',
    source: 'site area',
    layout: { 'line-join': 'round' },
    paint: { 'line-color': c.ink, 'line-width': byZoom(8, 1.2, 14, 2.2) },
  },
];

const siteLayer = (scheme: Scheme, c: Colours): LayerSpecification => ({
  id: 'site',
  type: 'symbol',
  source: 'site',
  layout: {
    'icon-image': markName('site', scheme),
    'icon-size': ['case', ['get', 'first'], 1, 0.8],
    'icon-allow-overlap': true,
    'icon-ignore-placement': true,
    'symbol-sort-key': ['get', 'order'],
    'text-field': ['get', 'label'],
    'text-font': SERIF,
    'text-size': 14,
    'text-variable-anchor': ['left', 'right', 'top', 'bottom'],
    'text-radial-offset': 1.15,
    'text-justify': 'auto',
    'text-optional': true,
    'text-max-width': 9,
  },
  paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 2 },
});

/** What is set is drawn whole; to and from the pointer, where the next corner would come, it is dashed. */
function drawnFeatures({ corners, aim }: NonNullable<MapView['drawing']>): Feature[] {
  const set = corners.map(at);
  const all = aim ? [...set, at(aim)] : set;
  const lines: Array<[string, [number, number][]]> = [];
  if (set.length > 1) lines.push(['set', set]);
  if (all.length > 1 && (aim || set.length > 2))
    lines.push([
      'open',
      aim
        ? [set[set.length - 1], at(aim), ...(set.length > 1 ? [set[0]] : [])]
        : [set[set.length - 1], set[0]],
    ]);
  return [
    ...(all.length > 2
      ? [feature({ type: 'Polygon', coordinates: [[...all, all[0]]] }, { what: 'ground' })]
      : []),
    ...lines.map(([what, coordinates]) => feature({ type: 'LineString', coordinates }, { what })),
    ...corners.map((corner, i) => feature(point(corner), { what: i === 0 ? 'first' : 'corner' })),
  ];
}

const is = (what: string): ['==', ['get', string], string] => ['==', ['get', 'what'], what];

const drawingLayers = (c: Colours): LayerSpecification[] => [
  {
    id: 'drawing fill',
    type: 'fill',
    source: 'drawing',
    filter: is('ground'),
    paint: { 'fill-color': c.ink, 'fill-opacity': 0.09 },
  },
  {
    id: 'drawing line/set',
    type: 'line',
    source: 'drawing',
    filter: is('set'),
    layout: { 'line-join': 'round' },
    paint: { 'line-color': c.ink, 'line-width': 2 },
  },
  {
    id: 'drawing line/open',
    type: 'line',
    source: 'drawing',
    filter: is('open'),
    paint: { 'line-color': c.ink, 'line-width': 1.6, 'line-dasharray': [2, 1.6] },
  },
  {
    id: 'drawing corner',
    type: 'circle',
    source: 'drawing',
    filter: ['==', ['geometry-type'], 'Point'],
    paint: {
      'circle-radius': ['case', is('first'), 6, 4],
      'circle-color': c.paper,
      'circle-stroke-color': c.ink,
      'circle-stroke-width': ['case', is('first'), 2.4, 1.6],
    },
  },
];
