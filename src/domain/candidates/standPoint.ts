import type { MultiPolygon, Place } from '../base/geo.ts';
import { localFrame } from '../base/localFrame.ts';

/** The point is found to within this share of the stand's width. */
const PRECISION = 0.005;

export interface StandPoint extends Place {
  /** Metres from the point to the furthest corner: the circle that covers the stand. */
  readonly radius: number;
  /** Square metres. */
  readonly area: number;
}

/**
 * A point surely inside a stand: the middle of the largest circle that fits into one of its polygons ("pole of
 * inaccessibility"), found by halving squares and keeping only those that could hold a better one (the grid method of
 * Garcia-Castellanos & Lombardo 2007, Scottish Geographical Journal 123:227-233, with the bound of a quadtree). Worked in
 * the flat frame of the stand's middle latitude: over 10 km of ground the frame is off by less than a metre.
 * Null where no polygon has an area.
 */
export function standPoint(outline: MultiPolygon): StandPoint | null {
  const corners = outline.flatMap((polygon) => polygon.flat());
  if (corners.length === 0) return null;
  let [south, north, west] = [Infinity, -Infinity, Infinity];
  for (const [lon, lat] of corners) {
    south = Math.min(south, lat);
    north = Math.max(north, lat);
    west = Math.min(west, lon);
  }
  const { lonMetres, latMetres } = localFrame((south + north) / 2);
  const flat = outline.map((polygon) =>
    polygon.map((ring) =>
      Float64Array.from(ring.flatMap(([lon, lat]) => [(lon - west) * lonMetres, (lat - south) * latMetres])),
    ),
  );
  const best = flat
    .filter((rings) => areaOf(rings) > 0)
    .map(middle)
    .reduce<Cell | null>((a, b) => (a && a.inside >= b.inside ? a : b), null);
  if (!best) return null;
  let radius = 0;
  for (const rings of flat) {
    const outer = rings[0];
    for (let i = 0; i < outer.length; i += 2)
      radius = Math.max(radius, Math.hypot(outer[i] - best.x, outer[i + 1] - best.y));
  }
  return {
    lon: west + best.x / lonMetres,
    lat: south + best.y / latMetres,
    radius,
    area: flat.reduce((sum, rings) => sum + areaOf(rings), 0),
  };
}

type Rings = readonly Float64Array[];
interface Cell {
  readonly x: number;
  readonly y: number;
  /** Half the side of the square. */
  readonly half: number;
  /** Metres to the nearest edge, below zero outside. */
  readonly inside: number;
}

function middle(rings: Rings): Cell {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  const outer = rings[0];
  for (let i = 0; i < outer.length; i += 2) {
    x0 = Math.min(x0, outer[i]);
    x1 = Math.max(x1, outer[i]);
    y0 = Math.min(y0, outer[i + 1]);
    y1 = Math.max(y1, outer[i + 1]);
  }
  const side = Math.min(x1 - x0, y1 - y0);
  const cell = (x: number, y: number, half: number): Cell => ({ x, y, half, inside: insideBy(rings, x, y) });
  let best = cell((x0 + x1) / 2, (y0 + y1) / 2, 0);
  let open: Cell[] = [];
  for (let x = x0; x < x1; x += side)
    for (let y = y0; y < y1; y += side) open.push(cell(x + side / 2, y + side / 2, side / 2));
  const precision = Math.max(0.01, PRECISION * side);
  while (open.length > 0) {
    for (const c of open) if (c.inside > best.inside) best = c;
    const next: Cell[] = [];
    for (const { x, y, half, inside } of open) {
      // Nowhere in the square can be further inside than its middle is, and half its diagonal more.
      if (inside + half * Math.SQRT2 - best.inside <= precision) continue;
      const h = half / 2;
      next.push(cell(x - h, y - h, h), cell(x + h, y - h, h), cell(x - h, y + h, h), cell(x + h, y + h, h));
    }
    open = next;
  }
  return best;
}

/** Distance to the nearest edge, with a minus sign outside (even-odd rule over all rings, so a hole is outside). */
function insideBy(rings: Rings, x: number, y: number): number {
  let inside = false;
  let least = Infinity;
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2) {
      const [ax, ay, bx, by] = [ring[i], ring[i + 1], ring[j], ring[j + 1]];
      if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
      const [dx, dy] = [bx - ax, by - ay];
      const length = dx * dx + dy * dy;
      const t = length > 0 ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / length)) : 0;
      least = Math.min(least, (x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2);
    }
  }
  return (inside ? 1 : -1) * Math.sqrt(least);
}

/** The outer ring less its holes. */
const areaOf = (rings: Rings): number =>
  rings.reduce((sum, ring, i) => sum + (i === 0 ? 1 : -1) * Math.abs(shoelace(ring)), 0);

function shoelace(ring: Float64Array): number {
  let twice = 0;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2)
    twice += ring[j] * ring[i + 1] - ring[i] * ring[j + 1];
  return twice / 2;
}
