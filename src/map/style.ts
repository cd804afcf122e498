/** The map's style as a pure function of what it shows; no data is computed here but discs and marks. */
import type { LayerSpecification, SourceSpecification, StyleSpecification } from 'maplibre-gl';
import { geodesicRing } from '../domain/base/geodesy.ts';
import { coloursOf, type Colours } from './colours.ts';
import type { MapView } from './view.ts';

type Geometry = { type: string; coordinates: unknown };
const feature = (geometry: Geometry, properties: Record<string, unknown> = {}, id?: number) => ({
  type: 'Feature',
  properties,
  geometry,
  ...(id === undefined ? {} : { id }),
});
const collection = (features: unknown[]) => ({ type: 'FeatureCollection', features });
const inline = (features: unknown[]): SourceSpecification => ({
  type: 'geojson',
  data: collection(features) as never,
});
const point = (p: { lon: number; lat: number }): Geometry => ({ type: 'Point', coordinates: [p.lon, p.lat] });

/** Addresses of blobs, made and revoked by map.ts. */
export type UrlOf = (blob: Blob) => string;

// Quoted, since a CSS family name with a digit in it is no plain identifier; drawn with the fonts of the page.
const SERIF = ['"Source Serif 4 Variable"'];
const SANS = ['"Source Sans 3 Variable"'];
const DISC_POINTS = 64;

export function styleOf(
  view: MapView,
  urlOf: UrlOf,
  outlines: { states: unknown; counties: unknown } | null,
): StyleSpecification {
  const c = coloursOf(view.scheme);
  const sources: Record<string, SourceSpecification> = {};
  const layers: LayerSpecification[] = [
    { id: 'paper', type: 'background', paint: { 'background-color': c.paper } },
  ];
  const add = (...more: LayerSpecification[]): void => void layers.push(...more);

  if (outlines) {
    sources['counties'] = { type: 'geojson', data: outlines.counties as never };
    sources['states'] = { type: 'geojson', data: outlines.states as never };
    add(
      {
        id: 'counties',
        type: 'line',
        source: 'counties',
        minzoom: 6,
        paint: { 'line-color': c.rule, 'line-width': 0.7 },
      },
      {
        id: 'states',
        type: 'line',
        source: 'states',
        paint: { 'line-color': c.quiet, 'line-width': 0.9, 'line-opacity': 0.6 },
      },
    );
  }
  for (const r of view.rasters) {
    const id = `raster ${r.id}`;
    sources[id] = {
      type: 'raster',
      tiles: [
        `kinstand://${encodeURIComponent(r.id)}/${r.style}/${view.scheme}/${encodeURIComponent(r.revision)}/{z}/{x}/{y}`,
      ],
      tileSize: 256,
      bounds: [...r.extent],
      maxzoom: 15,
    };
    add({
      id,
      type: 'raster',
      source: id,
      paint: {
        'raster-opacity': r.opacity,
        'raster-fade-duration': 0,
        'raster-resampling': r.style === 'values' ? 'nearest' : 'linear',
      },
    });
  }
  for (const v of view.vectors) {
    sources[`vector ${v.id}`] = { type: 'geojson', data: urlOf(v.geojson) };
    if (v.definition.role !== 'zones')
      add(...contextLayers(v.id, v.definition.role, v.definition.geometry, c));
  }
  for (const v of view.vectors) if (v.definition.role === 'zones') add(...zoneLayers(v.id, view.homeZone, c));

  sources['discs'] = inline(
    view.members.map((m) => feature({ type: 'Polygon', coordinates: [disc(m, view.spacing / 2)] })),
  );
  add(
    { id: 'discs', type: 'fill', source: 'discs', paint: { 'fill-color': c.accent, 'fill-opacity': 0.1 } },
    {
      id: 'discs edge',
      type: 'line',
      source: 'discs',
      paint: { 'line-color': c.accent, 'line-width': 0.8, 'line-opacity': 0.55 },
    },
  );
  if (view.route) {
    sources['route'] = inline([
      feature({ type: 'LineString', coordinates: view.route.line.map((p) => [p.lon, p.lat]) }),
    ]);
    sources['route ends'] = inline([feature(point(view.route.start)), feature(point(view.route.end))]);
    add(
      {
        id: 'route',
        type: 'line',
        source: 'route',
        layout: { 'line-join': 'round', 'line-cap': 'round' },
        paint: { 'line-color': c.route, 'line-width': 1.6, 'line-dasharray': [1.5, 2.2] },
      },
      {
        id: 'route ends',
        type: 'circle',
        source: 'route ends',
        paint: {
          'circle-radius': 4.5,
          'circle-color': c.paper,
          'circle-stroke-color': c.route,
          'circle-stroke-width': 2,
        },
      },
    );
  }
  if (view.points) {
    sources['points'] = { type: 'geojson', data: urlOf(view.points), buffer: 32, maxzoom: 14 };
    add(...pointLayers(view.showRuledOut, c));
  }
  sources['members'] = inline(
    view.members.map((m) => feature(point(m), { label: m.label, overridden: m.overridden }, m.row)),
  );
  sources['reserves'] = inline(view.reserves.map((r) => feature(point(r), { label: r.label }, r.row)));
  add(
    {
      id: 'reserves',
      type: 'circle',
      source: 'reserves',
      paint: {
        'circle-radius': 8,
        'circle-color': c.paper,
        'circle-opacity': 0.9,
        'circle-stroke-color': c.accent,
        'circle-stroke-width': 1.6,
      },
    },
    label('reserve labels', 'reserves', c.accent, 10.5),
    {
      id: 'members',
      type: 'circle',
      source: 'members',
      paint: {
        'circle-radius': 11,
        'circle-color': c.accent,
        'circle-stroke-color': ['case', ['get', 'overridden'], c.unsettled, c.paper],
        'circle-stroke-width': ['case', ['get', 'overridden'], 3, 1.5],
      },
    },
    label('member labels', 'members', c.onAccent, 12),
  );
  sources['site'] = inline(view.site ? [feature(point(view.site), { label: view.siteTitle })] : []);
  add({
    id: 'site',
    type: 'symbol',
    source: 'site',
    layout: {
      'icon-image': `site ${view.scheme}`,
      'icon-allow-overlap': true,
      'icon-ignore-placement': true,
      'text-field': ['get', 'label'],
      'text-font': SERIF,
      'text-size': 14,
      'text-anchor': 'left',
      'text-offset': [1.1, 0],
      'text-optional': true,
      'text-max-width': 9,
    },
    paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 2 },
  });
  sources['pointed'] = inline([
    ...(view.selected ? [feature(point(view.selected), { kind: 'selected', label: '' })] : []),
    ...(view.hovered ? [feature(point(view.hovered), { kind: 'hovered', label: view.hovered.text })] : []),
  ]);
  add(
    {
      id: 'pointed',
      type: 'circle',
      source: 'pointed',
      paint: {
        'circle-radius': ['case', ['==', ['get', 'kind'], 'selected'], 16, 13],
        'circle-color': 'rgba(0,0,0,0)',
        'circle-stroke-color': c.ink,
        'circle-stroke-width': ['case', ['==', ['get', 'kind'], 'selected'], 2.4, 1.4],
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
        'text-anchor': 'bottom',
        'text-offset': [0, -1.3],
        'text-allow-overlap': true,
        'text-ignore-placement': true,
      },
      paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 2.5 },
    },
  );
  return { version: 8, sources, layers };
}

const label = (id: string, source: string, colour: string, size: number): LayerSpecification => ({
  id,
  type: 'symbol',
  source,
  layout: {
    'text-field': ['get', 'label'],
    'text-font': SANS,
    'text-size': size,
    'text-allow-overlap': true,
    'text-ignore-placement': true,
  },
  paint: { 'text-color': colour },
});

function contextLayers(id: string, role: string, geometry: string, c: Colours): LayerSpecification[] {
  const source = `vector ${id}`;
  if (geometry === 'line') {
    const main = ['in', ['get', 'highway'], ['literal', ['motorway', 'trunk', 'primary', 'secondary']]];
    return [
      {
        id: source,
        type: 'line',
        source,
        layout: { 'line-cap': 'round' },
        paint: {
          'line-color': c.road,
          'line-width': [
            'interpolate',
            ['linear'],
            ['zoom'],
            8,
            ['case', main, 1, 0.3],
            14,
            ['case', main, 3, 1.4],
          ] as never,
        },
      },
    ];
  }
  if (geometry === 'point')
    return [
      {
        id: source,
        type: 'circle',
        source,
        minzoom: 11,
        paint: { 'circle-radius': 2.2, 'circle-color': c.planted, 'circle-opacity': 0.7 },
      },
    ];
  if (role === 'buildings')
    return [
      {
        id: source,
        type: 'fill',
        source,
        minzoom: 11,
        paint: { 'fill-color': c.building, 'fill-opacity': 0.8 },
      },
    ];
  const line = role === 'barrier' ? c.water : role === 'range' ? c.natural : c.setting;
  return [
    {
      id: source,
      type: 'fill',
      source,
      paint: { 'fill-color': line, 'fill-opacity': role === 'range' ? 0.05 : 0.14 },
    },
    {
      id: `${source} edge`,
      type: 'line',
      source,
      paint: {
        'line-color': line,
        'line-width': role === 'range' ? 1.4 : 0.8,
        'line-dasharray': role === 'range' ? [4, 2] : [1, 0],
      },
    },
  ];
}

function zoneLayers(id: string, home: number, c: Colours): LayerSpecification[] {
  const source = `vector ${id}`;
  return [
    {
      id: source,
      type: 'line',
      source,
      layout: { 'line-join': 'round' },
      paint: { 'line-color': c.ink, 'line-width': 0.8, 'line-opacity': 0.75 },
    },
    {
      id: `${source} home`,
      type: 'line',
      source,
      filter: ['==', ['get', 'index'], home],
      layout: { 'line-join': 'round' },
      paint: { 'line-color': c.ink, 'line-width': 2.2 },
    },
    {
      id: `${source} names`,
      type: 'symbol',
      source,
      layout: {
        'symbol-placement': 'line',
        'symbol-spacing': 420,
        'text-field': ['get', 'name'],
        'text-font': SERIF,
        'text-size': 12,
        'text-offset': [0, 0.9],
        'text-letter-spacing': 0.04,
      },
      paint: { 'text-color': c.quiet, 'text-halo-color': c.paper, 'text-halo-width': 1.6 },
    },
  ];
}

/** s: 0 eligible, 1 needs a check, 2 ruled out, 3 another species. */
function pointLayers(showRuledOut: boolean, c: Colours): LayerSpecification[] {
  const size = (near: number, far: number): never =>
    ['interpolate', ['linear'], ['zoom'], 8, far, 13, near] as never;
  const visibility = showRuledOut ? 'visible' : 'none';
  return [
    {
      id: 'points other',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 3],
      layout: { visibility },
      paint: { 'circle-radius': size(2, 1), 'circle-color': c.unknown, 'circle-opacity': 0.6 },
    },
    {
      id: 'points out',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 2],
      layout: { visibility },
      paint: {
        'circle-radius': size(3.4, 2),
        'circle-color': c.paper,
        'circle-opacity': 0.5,
        'circle-stroke-color': c.planted,
        'circle-stroke-width': 1.2,
      },
    },
    {
      id: 'points check',
      type: 'symbol',
      source: 'points',
      filter: ['==', ['get', 's'], 1],
      layout: {
        'icon-image': `half ${c === coloursOf('dark') ? 'dark' : 'light'}`,
        'icon-size': size(1, 0.7),
        'icon-allow-overlap': true,
        'icon-ignore-placement': true,
      },
    },
    {
      id: 'points eligible',
      type: 'circle',
      source: 'points',
      filter: ['==', ['get', 's'], 0],
      paint: {
        'circle-radius': size(5, 3),
        'circle-color': c.natural,
        'circle-stroke-color': c.paper,
        'circle-stroke-width': 1,
      },
    },
  ];
}

/** A circle on the ground, closed. */
function disc(centre: { lon: number; lat: number }, metres: number): [number, number][] {
  const ring = geodesicRing(centre.lon, centre.lat, metres, DISC_POINTS).map((p): [number, number] => [
    p.lon,
    p.lat,
  ]);
  return [...ring, ring[0]];
}
