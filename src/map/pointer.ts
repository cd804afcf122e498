/** What a pointer on the map means: a place to pick, a candidate under it, or bare ground. */
import type { Map as GlMap, MapMouseEvent } from 'maplibre-gl';
import { hit, REACH, type Drawn } from './hit.ts';
import { CLICKABLE } from './order.ts';
import type { MapEvents } from './view.ts';

/** @param ready false while there is nothing drawn to ask. */
export function watchPointer(
  map: GlMap,
  events: MapEvents,
  ready: () => boolean,
  picking: () => boolean,
): void {
  const canvas = map.getCanvas();
  map.on('click', (e) => {
    if (!ready()) return;
    if (picking()) events.pick({ lon: e.lngLat.lng, lat: e.lngLat.lat });
    else events.select(rowAt(map, e.point, isTouch(e) ? REACH.touch : REACH.mouse));
  });
  // Looked up once a frame at most: a mouse may report its place more often than that.
  let at: MapMouseEvent['point'] | null = null;
  let hovered: number | null = null;
  const look = (): void => {
    if (!at || !ready()) return;
    const row = picking() || map.isMoving() ? null : rowAt(map, at, REACH.mouse);
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
