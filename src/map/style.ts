/** The map's style as a pure function of what it shows. Nothing is computed here but discs; data goes by reference. */
import type { Feature, Geometry } from 'geojson';
import type { LayerSpecification } from 'maplibre-gl';
import { BASEMAP, basemapLayers, basemapSource } from './basemapLayers.ts';
import { coloursOf } from './colours.ts';
import { contextLayers } from './contextLayers.ts';
import { outlineLayers, rasterLayer } from './groundLayers.ts';
import type { MapSource, MapStyle, Outlines } from './mapStyle.ts';
import { evidenceStyle } from './evidenceStyle.ts';
import { inOrder } from './order.ts';
import { handStyle } from './handStyle.ts';
import { outlineStyle } from './outlineStyle.ts';
import { siteStyle } from './siteStyle.ts';
import { surfaceStyle } from './surfaceLayers.ts';
import type { MapView } from './view.ts';
import { workStyle } from './workStyle.ts';
import { zoneLayers } from './zoneLayers.ts';

export function styleOf(view: MapView, outlines: Outlines | null): MapStyle {
  const c = coloursOf(view.scheme);
  const sources: Record<string, MapSource> = {};
  const layers: LayerSpecification[] = [
    { id: 'paper', type: 'background', paint: { 'background-color': c.paper } },
  ];
  if (view.basemap) {
    sources[BASEMAP] = basemapSource(view.basemap);
    layers.push(...basemapLayers(view.basemap, view.scheme, c));
  } else if (outlines) {
    const fixed = (key: string, features: Feature[]): MapSource => ({
      kind: 'features',
      key,
      features: () => features,
      options: {},
    });
    const shape = (geometry: Geometry): Feature[] => [{ type: 'Feature', properties: {}, geometry }];
    sources['counties'] = fixed('counties', shape(outlines.counties));
    sources['states'] = fixed('states', shape(outlines.states));
    sources['state names'] = fixed('state names', outlines.names);
    layers.push(...outlineLayers(c));
  }
  for (const r of view.rasters) {
    const path = [r.id, r.style, view.scheme, r.revision].map(encodeURIComponent).join('/');
    sources[`raster/${r.id}`] = {
      kind: 'raster',
      key: `${path} ${r.extent.join(' ')}`,
      tiles: `kinstand://${path}/{z}/{x}/{y}`,
      bounds: r.extent,
    };
    layers.push(rasterLayer(r));
  }
  for (const v of view.vectors) {
    const source = `vector/${v.id}`;
    sources[source] = { kind: 'file', blob: v.geojson, options: {} };
    layers.push(
      ...(v.definition.role === 'zones'
        ? zoneLayers(v.id, source, view.homeZones, v.opacity, view.scheme)
        : contextLayers(v.id, source, v.definition, v.opacity, view.scheme)),
    );
  }
  const match = surfaceStyle(view);
  const work = workStyle(view, c);
  const hand = handStyle(view, c);
  const asked = outlineStyle(view.outlines, c);
  const evidence = evidenceStyle(view, c);
  const sites = siteStyle(view, c);
  const levels = new Map(view.vectors.flatMap((v) => (v.level === undefined ? [] : [[v.id, v.level]])));
  return {
    sources: {
      ...sources,
      ...match.sources,
      ...work.sources,
      ...hand.sources,
      ...asked.sources,
      ...evidence.sources,
      ...sites.sources,
    },
    layers: inOrder(
      [
        ...layers,
        ...match.layers,
        ...work.layers,
        ...hand.layers,
        ...asked.layers,
        ...evidence.layers,
        ...sites.layers,
      ],
      levels,
    ),
  };
}
