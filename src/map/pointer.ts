/** What a pointer on the map means: a place to pick, a candidate under it, or bare ground. */
import type { Map as GlMap, MapMouseEvent, MapTouchEvent } from 'maplibre-gl';
import type { Place } from '../domain/base/geo.ts';
import { hit, REACH, type Drawn } from './hit.ts';
import { CLICKABLE } from './order.ts';
import type { MapEvents } from './view.ts';

/** @param ready false while there is nothing drawn to ask. */
export function watchPointer(
  map: GlMap,
  events: MapEvents,
  ready: () => boolean,
  picking: () => boolean,
  draft: () => Place | null,
  corners: () => readonly Place[] | null,
): void {
  const canvas = map.getCanvas();
  watchDrag(map, events, draft);
  watchDrawing(map, events, corners);
  map.on('click', (e) => {
    if (!ready() || corners()) return;
    if (picking()) events.pick({ lon: e.lngLat.lng, lat: e.lngLat.lat });
    else events.select(rowAt(map, e.point, isTouch(e) ? REACH.touch : REACH.mouse));
  });
  // Looked up once a frame at most: a mouse may report its place more often than that.
  let at: MapMouseEvent['point'] | null = null;
  let hovered: number | null = null;
  const look = (): void => {
    if (!at || !ready()) return;
    const row = picking() || corners() || map.isMoving() ? null : rowAt(map, at, REACH.mouse);
    at = null;
    canvas.classList.toggle('pointing', row !== null);
    if (row !== hovered) events.hover((hovered = row));
  };
  // A finger does not hover: the moves that a browser makes up for it would leave a name behind.
  const hovers = matchMedia('(hover: hover)');
  map.on('mousemove', (e) => {
    if (!hovers.matches) return;
    if (!at) requestAnimationFrame(look);
    at = e.point;
  });
  map.on('mouseout', () => {
    at = null;
    if (hovered !== null) events.hover((hovered = null));
  });
}

/** A click means the first corner of an outline, or is the second one of a double click on the last, within so many pixels. */
const FIRST = { mouse: 9, touch: 22 } as const;
const LAST = { mouse: 4, touch: 12 } as const;

/** Clicks set corners; a second click on the last, or one on the first, closes the outline. */
function watchDrawing(map: GlMap, events: MapEvents, corners: () => readonly Place[] | null): void {
  const off = ({ point }: MapMouseEvent, { lon, lat }: Place): number => {
    const { x, y } = map.project([lon, lat]);
    return Math.hypot(point.x - x, point.y - y);
  };
  // The double click that ended an outline is not one that zooms.
  let ended = false;
  map.on('dblclick', (e) => {
    if (ended) e.preventDefault();
  });
  map.on('click', (e) => {
    ended = false;
    const set = corners();
    if (!set) return;
    const by = isTouch(e) ? 'touch' : 'mouse';
    const onLast = set.length > 0 && off(e, set[set.length - 1]) <= LAST[by];
    if (set.length > 2 && (onLast || off(e, set[0]) <= FIRST[by])) {
      ended = true;
      events.closeOutline();
    } else if (!onLast) events.corner({ lon: e.lngLat.lng, lat: e.lngLat.lat });
  });
  // Told once a frame at most. A finger does not hover: a line to where it last was would mislead.
  const hovers = matchMedia('(hover: hover)');
  let aim: Place | null = null;
  let asked = false;
  const tell = (place: Place | null): void => {
    if (!corners()) return;
    aim = place;
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      if (corners()) events.aim(aim);
    });
  };
  map.on('mousemove', (e) => {
    if (hovers.matches) tell({ lon: e.lngLat.lng, lat: e.lngLat.lat });
  });
  map.on('mouseout', () => tell(null));
}

/** How far from the middle of the draft's mark it can be taken hold of, pixels. */
const HOLD = { mouse: 16, touch: 28 } as const;

/** The mark of the draft goes where it is dragged; the map beneath it stays. */
function watchDrag(map: GlMap, events: MapEvents, draft: () => Place | null): void {
  let held = false;
  const holds = (e: MapMouseEvent | MapTouchEvent, reach: number): boolean => {
    const place = draft();
    if (!place) return false;
    const { x, y } = map.project([place.lon, place.lat]);
    return Math.hypot(e.point.x - x, e.point.y - y) <= reach;
  };
  const take = (e: MapMouseEvent | MapTouchEvent, reach: number): void => {
    if (!holds(e, reach)) return;
    e.preventDefault();
    held = true;
  };
  const move = (e: MapMouseEvent | MapTouchEvent): void => {
    if (held) events.drag({ lon: e.lngLat.lng, lat: e.lngLat.lat });
    else if (e.type === 'mousemove') map.getCanvas().classList.toggle('holding', holds(e, HOLD.mouse));
  };
  const letGo = (): void => void (held = false);
  map.on('mousedown', (e) => {
    if (e.originalEvent.button === 0) take(e, HOLD.mouse);
  });
  map.on('touchstart', (e) => {
    if (e.points.length === 1) take(e, HOLD.touch);
  });
  map.on('mousemove', move);
  map.on('touchmove', move);
  map.on('touchend', letGo);
  map.on('touchcancel', letGo);
  // Let go wherever the pointer is by then.
  window.addEventListener('mouseup', letGo);
  map.once('remove', () => window.removeEventListener('mouseup', letGo));
}

function isTouch({ originalEvent }: MapMouseEvent): boolean {
  if (originalEvent instanceof PointerEvent) return originalEvent.pointerType === 'touch';
  return matchMedia('(pointer: coarse)').matches;
}

/** Row of the tree that a point of the screen means, null on bare ground. */
function rowAt(map: GlMap, { x, y }: { x: number; y: number }, reach: number): number | null {
  const layers = CLICKABLE.filter((id) => map.getLayer(id));
  if (layers.length === 0) return null;
  const near = map.queryRenderedFeatures(
    [
      [x - reach, y - reach],
      [x + reach, y + reach],
    ],
    { layers },
  );
  const trees = near.flatMap(({ id, layer, geometry }): Drawn[] => {
    if (typeof id !== 'number' || geometry.type !== 'Point') return [];
    const [lon, lat] = geometry.coordinates;
    return [{ layer: layer.id, row: id, ...map.project([lon, lat]) }];
  });
  return hit(trees, x, y, reach);
}
