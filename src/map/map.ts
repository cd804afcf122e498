/** The map: the only file that runs maplibre-gl. It keeps nothing that is not derived from the MapView it was given last. */
import {
  addProtocol,
  Map as GlMap,
  NavigationControl,
  ScaleControl,
  setWorkerUrl,
  type MapMouseEvent,
} from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import 'maplibre-gl/dist/maplibre-gl.css';
import './map.css';
import type { Box, Place } from '../domain/base/geo.ts';
import { marks } from './marks.ts';
import { loadOutlines } from './outlines.ts';
import { styleOf } from './style.ts';
import type { MapEvents, MapHandle, MapView, TileMaker } from './view.ts';

setWorkerUrl(workerUrl);

const CLICKABLE = ['members', 'reserves', 'points eligible', 'points check', 'points out', 'points other'];
/** Half the side of the box that a click or a finger reaches, pixels. */
const REACH = 8;
const EASTERN_STATES: Box = [-97, 28, -68, 48];

let tileMaker: TileMaker | null = null;
addProtocol('kinstand', async ({ url }, { signal }) => {
  const [layer, style, scheme, , z, x, y] = url.replace('kinstand://', '').split('/').map(decodeURIComponent);
  const made = await tileMaker?.(
    layer,
    style === 'values' ? 'values' : 'relief',
    scheme === 'dark' ? 'dark' : 'light',
    Number(z),
    Number(x),
    Number(y),
    signal,
  );
  return { data: made ?? (await createImageBitmap(new ImageData(1, 1))) };
});

export async function createMap(
  container: HTMLElement,
  tiles: TileMaker,
  events: MapEvents,
  initial: Box = EASTERN_STATES,
): Promise<MapHandle | null> {
  tileMaker = tiles;
  const status = document.documentElement.dataset;
  status['map'] = 'busy';
  let map: GlMap;
  try {
    map = new GlMap({
      container,
      style: { version: 8, sources: {}, layers: [] },
      bounds: [...initial],
      fitBoundsOptions: { padding: 24 },
      attributionControl: false,
      fadeDuration: 0,
      dragRotate: false,
      pitchWithRotate: false,
      maxZoom: 18,
    });
  } catch (error) {
    events.failed({
      code: 'graphics',
      where: 'The map',
      what: `cannot be drawn on this machine (${error instanceof Error ? error.message : String(error)})`,
      todo: 'Switch on WebGL 2 or hardware acceleration in the browser. Tables, sheets and exports work without the map.',
    });
    return null;
  }
  map.touchZoomRotate.disableRotation();
  map.addControl(new NavigationControl({ showCompass: false }), 'top-right');
  const scale = new ScaleControl({ maxWidth: 120, unit: 'metric' });
  map.addControl(scale, 'bottom-left');
  map.on('dataloading', () => (status['map'] = 'busy'));
  map.on('movestart', () => (status['map'] = 'busy'));
  map.on('idle', () => (status['map'] = 'idle'));
  // A tile that fails or is no longer wanted is not worth a word; anything else is.
  map.on('error', (e) => {
    if (!/abort/i.test(e.error.message)) console.warn('map:', e.error.message);
  });
  await map.once('load');
  for (const m of marks()) map.addImage(m.name, m.image, { pixelRatio: m.pixelRatio });

  let outlines: Awaited<ReturnType<typeof loadOutlines>> = null;
  let view: MapView | null = null;
  const urls = new Map<Blob, string>();
  const urlOf = (blob: Blob): string => {
    const known = urls.get(blob);
    if (known !== undefined) return known;
    const url = URL.createObjectURL(blob);
    urls.set(blob, url);
    return url;
  };
  const draw = (): void => {
    if (!view) return;
    map.setStyle(styleOf(view, urlOf, outlines), { diff: true });
    const used = new Set([view.points, ...view.vectors.map((v) => v.geojson)]);
    for (const [blob, url] of urls) {
      if (used.has(blob)) continue;
      urls.delete(blob);
      // The map's worker may still be reading it.
      setTimeout(() => URL.revokeObjectURL(url), 10_000);
    }
  };
  void loadOutlines().then((loaded) => {
    outlines = loaded;
    draw();
  });

  const rowAt = (e: MapMouseEvent): number | null => {
    const { x, y } = e.point;
    const layers = CLICKABLE.filter((id) => map.getLayer(id));
    const [hit] = map.queryRenderedFeatures(
      [
        [x - REACH, y - REACH],
        [x + REACH, y + REACH],
      ],
      { layers },
    );
    return typeof hit?.id === 'number' ? hit.id : null;
  };
  map.on('click', (e) => {
    if (view?.picking) events.pick({ lon: e.lngLat.lng, lat: e.lngLat.lat });
    else events.select(rowAt(e));
  });
  map.on('mousemove', (e) => {
    const row = view?.picking ? null : rowAt(e);
    map.getCanvas().style.cursor = view?.picking ? 'crosshair' : row === null ? '' : 'pointer';
    events.hover(row);
  });
  map.on('mouseout', () => events.hover(null));
  map.getCanvas().setAttribute('aria-label', 'Map of candidates. Arrow keys move it, plus and minus zoom.');
  const watch = new ResizeObserver(() => map.resize());
  watch.observe(container);
  events.ready();

  return {
    update(next) {
      view = next;
      scale.setUnit(next.units === 'us' ? 'imperial' : 'metric');
      map.getCanvas().style.cursor = next.picking ? 'crosshair' : '';
      draw();
    },
    show: (box: Box, animate: boolean, covered: number) =>
      void map.fitBounds([...box], {
        padding: { top: 48, left: 48, right: 48, bottom: 40 + covered },
        animate,
        maxZoom: 14,
      }),
    reveal(place: Place) {
      if (!map.getBounds().contains([place.lon, place.lat])) map.easeTo({ center: [place.lon, place.lat] });
    },
    destroy() {
      watch.disconnect();
      map.remove();
      for (const url of urls.values()) URL.revokeObjectURL(url);
    },
  };
}
