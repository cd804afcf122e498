/** Outlines in degrees, drawn in the columns and rows of a raster. */
import type { MultiPolygon, Polygon, Ring } from '../../domain/base/geo.ts';
import { areaBox } from '../../domain/layers/areaBox.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import { wideExtent } from '../../io/read/rasters/wideExtent.ts';
import { aboutColumn } from '../../io/read/rasters/turn.ts';

/** A straight side in degrees is a curve in a projected raster: it is followed to a thousandth of a cell. */
const NEAR = 1e-3;
/** Sides are halved so often at most: a side that is torn by the projection has no end. */
const HALVINGS = 12;

/**
 * The same area in fractional pixels. Where the raster's columns go round the earth, parts beyond its seam are drawn where
 * they lie in it.
 */
export function outlineOn(raster: Raster, area: MultiPolygon): MultiPolygon {
  if (!meets(raster, area)) return [];
  return area.flatMap((polygon) => {
    const from = columnOf(raster, polygon);
    const drawn = polygon.map((ring) => ringOn(raster, ring, from));
    if (raster.turn === 0) return [drawn];
    return [-raster.turn, 0, raster.turn].flatMap((by) => {
      const moved = drawn.map((ring) => ring.map(([c, r]) => [c + by, r] as const));
      return moved.some((ring) => ring.some(([c]) => c > 0) && ring.some(([c]) => c < raster.width))
        ? [moved]
        : [];
    });
  });
}

function meets(raster: Raster, area: MultiPolygon): boolean {
  const reach = wideExtent(raster);
  if (!reach) return true;
  const [west, south, east, north] = reach;
  const [w, s, e, n] = areaBox(area);
  return w <= east && e >= west && s <= north && n >= south;
}

const columnOf = (raster: Raster, [[[lon, lat]]]: Polygon): number =>
  raster.toPixel(Float64Array.of(lon), Float64Array.of(lat)).col[0];

function ringOn(raster: Raster, ring: Ring, from: number): Ring {
  const closed = [...ring, ring[0]];
  let lon = Float64Array.from(closed, (p) => p[0]);
  let lat = Float64Array.from(closed, (p) => p[1]);
  let at = project(raster, lon, lat, from);
  /** Sides (by their first end) that may still bend. */
  let open = new Uint8Array(lon.length).fill(1);
  for (let halving = 0; halving < HALVINGS; halving++) {
    const sides = Array.from(open.keys()).filter((i) => open[i] === 1 && i + 1 < lon.length);
    if (sides.length === 0) break;
    const midLon = Float64Array.from(sides, (i) => (lon[i] + lon[i + 1]) / 2);
    const midLat = Float64Array.from(sides, (i) => (lat[i] + lat[i + 1]) / 2);
    const middle = project(raster, midLon, midLat, from);
    const bent = sides.flatMap((i, k) => {
      const off = Math.hypot(
        middle.col[k] - (at.col[i] + at.col[i + 1]) / 2,
        middle.row[k] - (at.row[i] + at.row[i + 1]) / 2,
      );
      return off > NEAR ? [k] : [];
    });
    if (bent.length === 0) break;
    const n = lon.length + bent.length;
    const next = {
      lon: new Float64Array(n),
      lat: new Float64Array(n),
      col: new Float64Array(n),
      row: new Float64Array(n),
      open: new Uint8Array(n),
    };
    let to = 0;
    let b = 0;
    for (let i = 0; i < lon.length; i++) {
      next.lon[to] = lon[i];
      next.lat[to] = lat[i];
      next.col[to] = at.col[i];
      next.row[to] = at.row[i];
      const k = bent[b];
      if (k !== undefined && sides[k] === i) {
        next.open[to++] = 1;
        next.lon[to] = midLon[k];
        next.lat[to] = midLat[k];
        next.col[to] = middle.col[k];
        next.row[to] = middle.row[k];
        next.open[to] = 1;
        b++;
      }
      to++;
    }
    ({ lon, lat, open } = next);
    at = next;
  }
  return Array.from(at.col, (c, i) => [c, at.row[i]] as const);
}

function project(raster: Raster, lon: Float64Array, lat: Float64Array, from: number) {
  const at = raster.toPixel(lon, lat);
  if (Number.isFinite(from)) aboutColumn(at.col, raster.turn, from);
  return at;
}
