/** What the evidence on the chosen tree was read from, in thin ink about it; the piece that is pointed at stands out. */
import type { Feature, Geometry } from 'geojson';
import type { ExpressionSpecification, LayerSpecification } from 'maplibre-gl';
import { geodesicDirect, geodesicRing } from '../domain/base/geodesy.ts';
import { GROUNDS } from '../domain/layers/landcover.ts';
import type { EvidenceMark } from '../domain/vetting/origin/marks.ts';
import { groundColour, type Colours } from './colours.ts';
import { at, feature, made, point } from './features.ts';
import { SANS } from './fonts.ts';
import type { MapStyle } from './mapStyle.ts';
import type { MapView, Scheme } from './view.ts';

/** Farther out 100 m are a few pixels. */
const LEAST_ZOOM = 12;
const CIRCLE_POINTS = 96;
/** A way of fewer metres is short on most pictures of a tree's surroundings. */
const SHORT = 60;
/** What is not pointed at, while something is. */
const FADED = 0.28;

export function evidenceStyle({ evidence, scheme }: MapView, c: Colours): MapStyle {
  if (!evidence || evidence.marks.length === 0) return { sources: {}, layers: [] };
  const { key, marks, lit } = evidence;
  return {
    sources: { evidence: made(key, () => marks.flatMap(drawn)) },
    layers: layersOf(lit, scheme, c),
  };
}

function drawn(mark: EvidenceMark): Feature[] {
  // Ids between bars, so that one is not found within another.
  const about = { pieces: `|${mark.pieces.join('|')}|` };
  const some = (what: string, geometry: Geometry, more: Record<string, unknown> = {}): Feature =>
    feature(geometry, { what, ...about, ...more });
  const label = (where: Geometry, anchor: string, rank: number): Feature[] =>
    mark.label === '' ? [] : [some('label', where, { label: mark.label, anchor, rank })];
  switch (mark.kind) {
    case 'circle': {
      const { centre, metres } = mark;
      const ring = geodesicRing(centre.lon, centre.lat, metres, CIRCLE_POINTS).map(at);
      return [
        some('circle', { type: 'LineString', coordinates: [...ring, ring[0]] }),
        ...label(point(geodesicDirect(centre.lon, centre.lat, 0, metres)), 'bottom', 2),
      ];
    }
    case 'ground':
      return [
        some('ground', multi(mark.geometry), { ground: mark.ground ?? '' }),
        ...label(point(mark.at), 'center', 3),
      ];
    case 'area':
      return [
        some('area', multi(mark.geometry)),
        ...(mark.label === ''
          ? []
          : label({ type: 'Point', coordinates: northernmost(mark.geometry.flat(2)) }, 'bottom', 2)),
      ];
    case 'lines':
      return [
        some('line', {
          type: 'MultiLineString',
          coordinates: mark.lines.map((line) => line.map(([x, y]) => [x, y])),
        }),
        ...label({ type: 'Point', coordinates: middleOf(mark.lines[0]) }, 'bottom', 2),
      ];
    case 'link': {
      const { from, to, metres } = mark;
      // The middle of a short way lies under the tree's own mark: its label stands beyond its end.
      const beyond = to.lon < from.lon ? 'right' : 'left';
      const where =
        metres < SHORT
          ? label(point(to), beyond, 1)
          : label(point({ lon: (from.lon + to.lon) / 2, lat: (from.lat + to.lat) / 2 }), 'top', 1);
      return [
        some('link', { type: 'LineString', coordinates: [at(from), at(to)] }),
        some('foot', point(to)),
        ...where,
      ];
    }
    case 'trees':
      return [
        ...(mark.joined ? [some('row', { type: 'LineString', coordinates: mark.places.map(at) })] : []),
        ...mark.places.map((place) => some('tree', point(place))),
        ...label(point(mark.places[0]), 'top', 2),
      ];
    case 'spot':
      return [some('spot', point(mark.place)), ...label(point(mark.place), 'top', 1)];
  }
}

const multi = (
  geometry: ReadonlyArray<ReadonlyArray<ReadonlyArray<readonly [number, number]>>>,
): Geometry => ({
  type: 'MultiPolygon',
  coordinates: geometry.map((polygon) => polygon.map((ring) => ring.map(([x, y]) => [x, y]))),
});
type Position = readonly [number, number];
const northernmost = (points: readonly Position[]): number[] => [
  ...points.reduce((best, p) => (p[1] > best[1] ? p : best)),
];
const middleOf = (line: readonly Position[]): number[] => [...line[Math.floor(line.length / 2)]];

type Filter = ['==', ['get', 'what'], string];
const is = (what: string): Filter => ['==', ['get', 'what'], what];

function layersOf(lit: string | null, scheme: Scheme, c: Colours): LayerSpecification[] {
  const pointed = ['in', `|${lit ?? ''}|`, ['get', 'pieces']] as unknown as ExpressionSpecification;
  /** A value for what is pointed at, and for the rest; `usual` while nothing is. */
  const by = (usual: number, on: number, off: number): number | ExpressionSpecification =>
    lit === null ? usual : ['case', pointed, on, off];
  const seen = (usual: number): number | ExpressionSpecification => by(usual, 1, usual * FADED);
  const colour = [
    'match',
    ['get', 'ground'],
    ...GROUNDS.flatMap((ground) => [ground, groundColour(ground, scheme)]),
    'rgba(0,0,0,0)',
  ] as unknown as ExpressionSpecification;
  /** How trees stand to one another is no road. */
  const standing = ['in', '|pattern|', ['get', 'pieces']] as unknown as ExpressionSpecification;
  const common = { source: 'evidence', minzoom: LEAST_ZOOM } as const;
  return [
    {
      ...common,
      id: 'evidence ground',
      type: 'fill',
      filter: is('ground'),
      paint: { 'fill-color': colour, 'fill-opacity': by(0.34, 0.62, 0.14) },
    },
    {
      ...common,
      id: 'evidence cells',
      type: 'line',
      filter: is('ground'),
      paint: { 'line-color': c.paper, 'line-width': 1, 'line-opacity': by(0.55, 0.9, 0.2) },
    },
    {
      ...common,
      id: 'evidence area',
      type: 'line',
      filter: is('area'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': c.ink, 'line-width': by(1.2, 2.6, 1), 'line-opacity': seen(0.85) },
    },
    {
      ...common,
      id: 'evidence circle',
      type: 'line',
      filter: is('circle'),
      paint: { 'line-color': c.ink, 'line-width': by(1, 2, 0.8), 'line-opacity': seen(0.7) },
    },
    {
      ...common,
      id: 'evidence line',
      type: 'line',
      filter: is('line'),
      layout: { 'line-cap': 'round', 'line-join': 'round' },
      paint: {
        'line-color': ['case', standing, c.planted, c.ink],
        'line-width': lit === null ? ['case', standing, 1.2, 1.8] : ['case', pointed, 3.2, 1.2],
        'line-opacity': seen(0.75),
      },
    },
    {
      ...common,
      id: 'evidence row',
      type: 'line',
      filter: is('row'),
      layout: { 'line-join': 'round' },
      paint: { 'line-color': c.planted, 'line-width': by(2, 3.4, 1.2), 'line-opacity': seen(0.9) },
    },
    {
      ...common,
      id: 'evidence link casing',
      type: 'line',
      filter: is('link'),
      paint: { 'line-color': c.paper, 'line-width': 4, 'line-opacity': seen(0.7) },
    },
    {
      ...common,
      id: 'evidence link',
      type: 'line',
      filter: is('link'),
      paint: {
        'line-color': c.ink,
        'line-width': by(1.6, 2.6, 1.2),
        'line-dasharray': [2, 1.4],
        'line-opacity': seen(1),
      },
    },
    {
      ...common,
      id: 'evidence foot',
      type: 'circle',
      filter: is('foot'),
      paint: { 'circle-radius': 2.6, 'circle-color': c.ink, 'circle-opacity': seen(1) },
    },
    {
      ...common,
      id: 'evidence tree',
      type: 'circle',
      filter: ['any', is('tree'), is('spot')],
      paint: {
        'circle-radius': ['case', is('spot'), 6, 7.5],
        'circle-color': 'rgba(0,0,0,0)',
        'circle-stroke-color': ['case', is('spot'), c.ink, c.planted],
        'circle-stroke-width': by(1.6, 2.6, 1),
        'circle-stroke-opacity': seen(1),
      },
    },
    {
      ...common,
      id: 'evidence label',
      type: 'symbol',
      filter: is('label'),
      layout: {
        'text-field': ['get', 'label'],
        'text-font': SANS,
        'text-size': 12.5,
        'text-anchor': ['get', 'anchor'] as never,
        'text-offset': [
          'match',
          ['get', 'anchor'],
          'bottom',
          ['literal', [0, -0.25]],
          'top',
          ['literal', [0, 0.3]],
          'left',
          ['literal', [0.5, 0]],
          'right',
          ['literal', [-0.5, 0]],
          ['literal', [0, 0]],
        ],
        'text-max-width': 9,
        'text-padding': 1,
        'symbol-sort-key': lit === null ? ['get', 'rank'] : ['case', pointed, 0, ['get', 'rank']],
      },
      paint: {
        'text-color': c.ink,
        'text-halo-color': c.paper,
        'text-halo-width': 2,
        'text-opacity': seen(1),
      },
    },
  ];
}
