/**
 * Geometries in well-known binary (OGC 06-103r4, ISO 13249-3), also with the flags of PostGIS (EWKB), as databases and
 * GeoParquet keep them. Every count is held against the bytes that are there before memory is taken.
 */
import type { RawGeometry } from './geometry.ts';

export interface Wkb {
  /** In two dimensions; null where the geometry is empty. */
  readonly geometry: RawGeometry | null;
  /** It has heights, or measures, which are left out here. */
  readonly heights: boolean;
  readonly measures: boolean;
}

/** The bytes are no geometry; the message says what is wrong with them. */
export class WkbTrouble extends Error {}

/** Geometries within geometries: a collection of collections is rare, more is damage. */
const MOST_DEEP = 8;

const NAMES: Readonly<Record<number, string>> = {
  1: 'Point', 2: 'LineString', 3: 'Polygon', 4: 'MultiPoint', 5: 'MultiLineString', 6: 'MultiPolygon',
  7: 'GeometryCollection', 8: 'CircularString', 9: 'CompoundCurve', 10: 'CurvePolygon', 11: 'MultiCurve',
  12: 'MultiSurface', 13: 'Curve', 14: 'Surface', 15: 'PolyhedralSurface', 16: 'TIN', 17: 'Triangle',
}; // prettier-ignore

type XY = [number, number];

interface Cursor {
  readonly view: DataView;
  at: number;
  heights: boolean;
  measures: boolean;
}

interface Head {
  readonly type: number;
  readonly little: boolean;
  /** Bytes of one position. */
  readonly step: number;
}

export function readWkb(bytes: Uint8Array): Wkb {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const cursor: Cursor = { view, at: 0, heights: false, measures: false };
  const geometry = geometryAt(cursor, 0);
  return {
    geometry: isEmpty(geometry) ? null : geometry,
    heights: cursor.heights,
    measures: cursor.measures,
  };
}

function geometryAt(c: Cursor, depth: number): RawGeometry {
  if (depth > MOST_DEEP) throw new WkbTrouble('geometries in geometries without end');
  const head = headAt(c);
  const type = NAMES[head.type];
  switch (head.type) {
    case 1:
      return { type, coordinates: positionsAt(c, head, 1)[0] };
    case 2:
    case 8:
      return { type, coordinates: positionsAt(c, head, countAt(c, head, head.step)) };
    case 3:
    case 17:
      return { type, coordinates: ringsAt(c, head) };
    default:
      return manyAt(c, head, depth);
  }
}

function headAt(c: Cursor): Head {
  need(c, 5);
  const order = c.view.getUint8(c.at);
  if (order > 1) throw new WkbTrouble(`its byte order is ${order}`);
  const little = order === 1;
  const code = c.view.getUint32(c.at + 1, little);
  c.at += 5;
  // The number of the coordinate system of EWKB: the column says it, too.
  if (code & 0x20000000) {
    need(c, 4);
    c.at += 4;
  }
  const plain = code & 0x1fffffff;
  const thousands = Math.floor(plain / 1000);
  const type = plain % 1000;
  if (!(type in NAMES) || thousands > 3) throw new WkbTrouble(`its type is ${code}`);
  const z = (code & 0x80000000) !== 0 || thousands === 1 || thousands === 3;
  const m = (code & 0x40000000) !== 0 || thousands >= 2;
  c.heights ||= z;
  c.measures ||= m;
  return { type, little, step: 16 + (z ? 8 : 0) + (m ? 8 : 0) };
}

function need(c: Cursor, bytes: number): void {
  if (c.at + bytes > c.view.byteLength) throw new WkbTrouble('it is shorter than its counts say');
}

/** A number of things of at least so many bytes that follow. */
function countAt(c: Cursor, { little }: Head, bytes: number): number {
  need(c, 4);
  const count = c.view.getUint32(c.at, little);
  c.at += 4;
  need(c, count * bytes);
  return count;
}

function positionsAt(c: Cursor, { little, step }: Head, count: number): XY[] {
  need(c, count * step);
  const out = new Array<XY>(count);
  for (let i = 0; i < count; i++, c.at += step)
    out[i] = [c.view.getFloat64(c.at, little), c.view.getFloat64(c.at + 8, little)];
  return out;
}

function ringsAt(c: Cursor, head: Head): XY[][] {
  const rings = countAt(c, head, 4);
  return Array.from({ length: rings }, () => positionsAt(c, head, countAt(c, head, head.step)));
}

/** Geometries of geometries, each with a head of its own. Kinds of curves that are all straight become the plain kinds. */
function manyAt(c: Cursor, head: Head, depth: number): RawGeometry {
  const type = NAMES[head.type];
  const count = countAt(c, head, 5);
  const parts = Array.from({ length: count }, () => geometryAt(c, depth + 1));
  const all = (name: string): boolean => parts.every((p) => p.type === name);
  const coordinates = parts.map((p) => p.coordinates);
  switch (head.type) {
    case 4:
    case 5:
    case 6:
      if (!all(type.slice('Multi'.length))) throw new WkbTrouble(`its parts are no ${type}`);
      return { type, coordinates };
    case 7:
      return { type, geometries: parts };
    case 9:
      // Each begins where the one before ends.
      return all('LineString')
        ? {
            type: 'LineString',
            coordinates: (coordinates as XY[][]).flatMap((p, i) => (i === 0 ? p : p.slice(1))),
          }
        : { type };
    case 10:
      return all('LineString') ? { type: 'Polygon', coordinates } : { type };
    case 11:
      return all('LineString') ? { type: 'MultiLineString', coordinates } : { type };
    case 12:
      return all('Polygon') ? { type: 'MultiPolygon', coordinates } : { type };
    default:
      return { type };
  }
}

/** No position at all, or a point that is not a number, which stands for an empty one. */
function isEmpty({ type, coordinates, geometries }: RawGeometry): boolean {
  if (geometries) return geometries.every(isEmpty);
  if (!Array.isArray(coordinates)) return false;
  return type === 'Point'
    ? coordinates.every((x) => Number.isNaN(x))
    : coordinates.every((p: unknown) => Array.isArray(p) && p.length === 0);
}
