/** The match of every cell as a picture over the ground, and zones shaded by how much of them matches. */
import type { ExpressionSpecification, LayerSpecification } from 'maplibre-gl';
import { coloursOf, matchRamp, type Colours } from './colours.ts';
import { feature, made, point } from './features.ts';
import { SANS } from './fonts.ts';
import type { MapSource, MapStyle } from './mapStyle.ts';
import type { MapView, Scheme } from './view.ts';

/** Zones lie as a wash over the relief, so that its forms stay to be seen. */
const WASH = 0.55;

export function surfaceStyle({ surface, zoneShades, scheme }: MapView): MapStyle {
  const drawn = surface ? surfacePicture(surface, scheme) : null;
  const shades = zoneShades ? shadeStyle(zoneShades, scheme, coloursOf(scheme)) : null;
  return {
    sources: { ...drawn?.sources, ...shades?.sources },
    layers: [...(drawn?.layers ?? []), ...(shades?.layers ?? [])],
  };
}

/** The key and the threshold are in the address: a tile of another site or threshold has another address. */
function surfacePicture(
  { key, least, opacity, extent }: NonNullable<MapView['surface']>,
  scheme: Scheme,
): MapStyle {
  const path = [key, String(least), scheme].map(encodeURIComponent).join('/');
  return {
    sources: {
      surface: {
        kind: 'raster',
        key: `${path} ${extent.join(' ')}`,
        tiles: `kinstand-surface://${path}/{z}/{x}/{y}`,
        bounds: extent,
      },
    },
    layers: [
      {
        id: 'surface',
        type: 'raster',
        source: 'surface',
        paint: { 'raster-opacity': opacity, 'raster-fade-duration': 0, 'raster-resampling': 'linear' },
      },
    ],
  };
}

function shadeStyle(
  { geojson, shares, labels, wash, chosen }: NonNullable<MapView['zoneShades']>,
  scheme: Scheme,
  c: Colours,
): MapStyle {
  const ramp = matchRamp(scheme);
  const share: ExpressionSpecification = ['at', ['get', 'index'], ['literal', [...shares]]];
  const steps = ramp.flatMap((colour, i) => [i / (ramp.length - 1), colour]);
  const isChosen: ['==', ['get', string], number] = ['==', ['get', 'index'], chosen ?? -1];
  const sources: Record<string, MapSource> = {
    'zone shade': { kind: 'file', blob: geojson, options: {} },
    'zone share': made(labels, () => labels.map((l) => feature(point(l), { text: l.text }))),
  };
  const layers: LayerSpecification[] = [
    {
      id: 'zone shade',
      type: 'fill',
      source: 'zone shade',
      // -1: nothing is known of the zone.
      filter: ['>=', share, 0],
      paint: {
        'fill-color': ['interpolate', ['linear'], share, ...steps] as unknown as ExpressionSpecification,
        'fill-opacity': wash ? WASH : 0,
      },
    },
    {
      id: 'zone chosen',
      type: 'line',
      source: 'zone shade',
      filter: isChosen,
      layout: { 'line-join': 'round' },
      paint: { 'line-color': c.unsettled, 'line-width': 3.5 },
    },
    {
      id: 'zone best',
      type: 'circle',
      source: 'zone share',
      paint: {
        'circle-radius': 4,
        'circle-color': c.paper,
        'circle-stroke-color': c.ink,
        'circle-stroke-width': 1.6,
      },
    },
    {
      id: 'zone share',
      type: 'symbol',
      source: 'zone share',
      layout: {
        'text-field': ['get', 'text'],
        'text-font': SANS,
        'text-size': 13,
        'text-justify': 'auto',
        'text-variable-anchor': ['left', 'right', 'top', 'bottom'],
        'text-radial-offset': 0.7,
      },
      paint: { 'text-color': c.ink, 'text-halo-color': c.paper, 'text-halo-width': 1.8 },
    },
  ];
  return { sources, layers };
}
