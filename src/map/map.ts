/** The map: the only file that runs maplibre-gl. It keeps nothing that is not derived from the MapView it was given last. */
import { addProtocol, Map as GlMap, setWorkerUrl } from 'maplibre-gl';
import workerUrl from 'maplibre-gl/dist/maplibre-gl-worker.mjs?worker&url';
import 'maplibre-gl/dist/maplibre-gl.css';
import './map.css';
import type { Box } from '../domain/base/geo.ts';
import type { Failure } from '../domain/base/result.ts';
import { apply } from './apply.ts';
import { BASEMAP } from './basemapLayers.ts';
import { ScaleBar, ZoomButtons } from './controls.ts';
import { diff } from './diff.ts';
import { mark, MARK_RATIO } from './marks.ts';
import { loadOutlines } from './outlines.ts';
import { watchPointer } from './pointer.ts';
import { EMPTY, type MapStyle, type Outlines } from './mapStyle.ts';
import { styleOf } from './style.ts';
import type { BasemapTileMaker, MapEvents, MapHandle, MapView, SurfaceTileMaker, TileMaker } from './view.ts';

setWorkerUrl(workerUrl);

const EASTERN_STATES: Box = [-97, 28, -68, 48];
const NEAREST = 19;
/** Nearer than this a picture of a whole set is of no use. */
const NEAREST_FIT = 14;
/** The same of the ground about one tree. */
const NEAREST_TREE = 17.5;
/** A place so near the rim counts as out of sight, pixels. */
const RIM = 16;
/** So many times a lost drawing context is made anew before the map gives up, and how soon. */
const REBUILDS = 3;
const REBUILD_WAIT = 300;
/** Lettering is drawn once for all: it waits for the page's fonts, but not for ever. */
const FONTS = ['14px "Source Serif 4 Variable"', '14px "Source Sans 3 Variable"'];
const FONT_WAIT = 3000;

/** What stands for a picture where there is none. */
const clear = (): Promise<ImageBitmap> => createImageBitmap(new ImageData(1, 1));

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
  return { data: made ?? (await clear()) };
});

let surfaceTiles: SurfaceTileMaker | null = null;
addProtocol('kinstand-surface', async ({ url }, { signal }) => {
  const [key, least, scheme, z, x, y] = url
    .replace('kinstand-surface://', '')
    .split('/')
    .map(decodeURIComponent);
  const made = await surfaceTiles?.(
    {
      key,
      least: Number(least),
      scheme: scheme === 'dark' ? 'dark' : 'light',
      z: Number(z),
      x: Number(x),
      y: Number(y),
    },
    signal,
  );
  return { data: made ?? (await clear()) };
});

let basemapTiles: BasemapTileMaker | null = null;
addProtocol('kinstand-basemap', async ({ url }) => {
  const [kind, , z, x, y] = url.replace('kinstand-basemap://', '').split('/');
  const made = await basemapTiles?.(Number(z), Number(x), Number(y));
  return { data: made ?? (kind === 'vector' ? new ArrayBuffer(0) : await clear()) };
});

interface Live {
  readonly map: GlMap;
  readonly scale: ScaleBar;
  /** What is on it. */
  drawn: MapStyle;
}

/**
 * A map in `container`, showing `initial` until told otherwise; it follows the container's size.
 * `document.documentElement.dataset.map` is 'busy' while anything is being drawn or read, else 'idle'; `dataset.surface` then
 * tells the key of the match surface that is on it, '' none.
 * @returns null after events.failed where the machine cannot draw it.
 */
export async function createMap(
  container: HTMLElement,
  tiles: TileMaker,
  basemap: BasemapTileMaker,
  surface: SurfaceTileMaker,
  events: MapEvents,
  initial: Box = EASTERN_STATES,
): Promise<MapHandle | null> {
  tileMaker = tiles;
  basemapTiles = basemap;
  surfaceTiles = surface;
  const status = document.documentElement.dataset;
  let live: Live | null = null;
  let view: MapView | null = null;
  let outlines: Outlines | null = null;
  let gone = false;
  let rebuilds = 0;
  let reading = 0;

  const wait = async (work: Promise<unknown>): Promise<void> => {
    reading++;
    status['map'] = 'busy';
    try {
      await work;
    } finally {
      reading--;
      // Idle is told at the end of a frame, so there has to be one.
      live?.map.triggerRepaint();
    }
  };

  const draw = (): void => {
    if (!view || !live) return;
    const next = styleOf(view, outlines);
    const steps = diff(live.drawn, next);
    live.drawn = next;
    live.scale.setUnits(view.units);
    live.map.getCanvas().classList.toggle('picking', view.picking || view.drawing !== null);
    // Two clicks in a row are two corners, or the end of an outline.
    if (view.drawing) live.map.doubleClickZoom.disable();
    else live.map.doubleClickZoom.enable();
    if (steps.length > 0) void wait(apply(live.map, steps));
  };

  async function start(place: { bounds: Box } | { center: [number, number]; zoom: number }): Promise<void> {
    status['map'] = 'busy';
    const map = new GlMap({
      container,
      style: { version: 8, sources: {}, layers: [] },
      ...('bounds' in place ? { bounds: [...place.bounds], fitBoundsOptions: { padding: 24 } } : place),
      attributionControl: false,
      fadeDuration: 0,
      dragRotate: false,
      pitchWithRotate: false,
      touchPitch: false,
      maxPitch: 0,
      maxZoom: NEAREST,
    });
    map.touchZoomRotate.disableRotation();
    map.keyboard.disableRotation();
    map.getCanvas().setAttribute('aria-label', 'Map of candidates. Arrow keys move it, plus and minus zoom.');
    map.addControl(new ZoomButtons(), 'top-right');
    const scale = new ScaleBar();
    map.addControl(scale, 'bottom-left');
    map.on('dataloading', () => (status['map'] = 'busy'));
    map.on('movestart', () => (status['map'] = 'busy'));
    map.on('idle', () => {
      if (reading > 0) return;
      status['surface'] = view?.surface?.key ?? '';
      status['map'] = 'idle';
    });
    // A tile that is no longer wanted is not worth a word; anything else is.
    map.on('error', (e) => {
      if (/abort/i.test(e.error.message)) return;
      if ('sourceId' in e && e.sourceId === BASEMAP) events.basemapTrouble(e.error.message);
      else console.warn('map:', e.error.message);
    });
    map.on('webglcontextlost', () => {
      const camera = { center: map.getCenter().toArray(), zoom: map.getZoom() };
      live = null;
      status['map'] = 'busy';
      setTimeout(() => void rebuild(map, camera), REBUILD_WAIT);
    });
    map.setMissingStyleImageResolver((name) => {
      map.addImage(name, mark(name), { pixelRatio: MARK_RATIO });
    });
    watchPointer(
      map,
      events,
      () => live?.map === map,
      () => view?.picking ?? false,
      () => view?.draft?.place ?? null,
      () => view?.drawing?.corners ?? null,
    );
    await map.once('load');
    await Promise.race([
      Promise.all(FONTS.map((f) => document.fonts.load(f))),
      new Promise((done) => setTimeout(done, FONT_WAIT)),
    ]);
    if (gone) {
      map.remove();
      return;
    }
    live = { map, scale, drawn: EMPTY };
    draw();
  }

  /** The library's own way back needs the browser to give the context back; a new map does not. */
  async function rebuild(old: GlMap, camera: { center: [number, number]; zoom: number }): Promise<void> {
    old.remove();
    if (gone) return;
    if (++rebuilds > REBUILDS) {
      events.failed(failure('lost its drawing context again and again'));
      return;
    }
    try {
      await start(camera);
    } catch (error) {
      events.failed(failure(reason(error)));
    }
  }

  try {
    await start({ bounds: initial });
  } catch (error) {
    events.failed(failure(reason(error)));
    return null;
  }
  // A way to a place is reckoned for the size of the map at its start: where that changes on the way, it is gone anew.
  let aim: (() => void) | null = null;
  let ways = 0;
  const watch = new ResizeObserver(() => {
    live?.map.resize();
    aim?.();
  });
  watch.observe(container);
  void wait(
    loadOutlines().then((loaded) => {
      outlines = loaded;
      draw();
    }),
  );
  events.ready();

  return {
    update(next) {
      view = next;
      draw();
    },
    show(box, animate, covered, close = false) {
      const { clientWidth: width, clientHeight: height } = container;
      const side = Math.min(48, width / 8);
      live?.map.fitBounds([...box], {
        padding: {
          top: Math.min(48, height / 8),
          left: side,
          right: side,
          bottom: Math.min(40 + covered, height * 0.7),
        },
        animate,
        maxZoom: close ? NEAREST_TREE : NEAREST_FIT,
      });
    },
    reveal({ lon, lat }, covered) {
      if (!live) return;
      const { x, y } = live.map.project([lon, lat]);
      const inside =
        x > RIM && y > RIM && x < container.clientWidth - RIM && y < container.clientHeight - RIM - covered;
      if (inside) return;
      const { map } = live;
      const go = (): void => {
        const way = ++ways;
        map.easeTo({ center: [lon, lat], offset: [0, -covered / 2] });
        aim = go;
        // The end of a way that was taken anew ends nothing.
        void map.once('moveend').then(() => {
          if (way === ways) aim = null;
        });
      };
      go();
    },
    destroy() {
      gone = true;
      watch.disconnect();
      live?.map.remove();
      live = null;
    },
  };
}

const reason = (error: unknown): string =>
  `cannot be drawn on this machine (${error instanceof Error ? error.message : String(error)})`;

const failure = (what: string): Failure => ({
  code: 'graphics',
  where: 'The map',
  what,
  todo: 'Switch on WebGL 2 or hardware acceleration in the browser. Tables, sheets and exports work without the map.',
});
