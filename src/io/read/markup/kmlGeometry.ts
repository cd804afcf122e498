/** Geometries of KML 2.2 (OGC 07-147r2): longitude, latitude and height in degrees of WGS 84 and metres, parted by commas. */
import type { RawGeometry } from '../vectors/geometry.ts';
import { child, type XmlNode } from './xml.ts';

type Position = [number, number];

/** Coordinates of one feature by kind; a kind that does not occur is empty. */
export interface Shapes {
  readonly points: Position[];
  readonly lines: Position[][];
  readonly polygons: Position[][][];
  /** What could not be taken, in words. */
  readonly lost: string[];
  /** A height other than 0, or a time, was dropped. */
  heights: boolean;
  times: boolean;
}

const CONTAINERS: ReadonlySet<string> = new Set(['MultiGeometry', 'MultiTrack']);
const NOT_READ: Readonly<Record<string, string>> = { Model: 'a 3D model' };

/** All geometries of a placemark, those in MultiGeometry and gx:MultiTrack among them. */
export function shapesOf(placemark: XmlNode): Shapes {
  const shapes: Shapes = { points: [], lines: [], polygons: [], lost: [], heights: false, times: false };
  collect(placemark, shapes);
  return shapes;
}

function collect(node: XmlNode, shapes: Shapes): void {
  for (const part of node.children) {
    if (CONTAINERS.has(part.name)) collect(part, shapes);
    else if (Object.hasOwn(NOT_READ, part.name)) shapes.lost.push(NOT_READ[part.name]);
    else if (part.name === 'Point') {
      const positions = coordinates(part, shapes);
      if (positions && positions.length > 0) shapes.points.push(positions[0]);
      else if (positions) shapes.lost.push('a point without a position');
    } else if (part.name === 'LineString' || part.name === 'LinearRing') {
      const positions = coordinates(part, shapes);
      if (positions) shapes.lines.push(positions);
    } else if (part.name === 'Track') {
      const positions = track(part, shapes);
      if (positions) shapes.lines.push(positions);
    } else if (part.name === 'Polygon') {
      const rings = ringsOf(part, shapes);
      if (rings) shapes.polygons.push(rings);
    }
  }
}

/** Outer ring first. An inner boundary may hold several rings, against the schema but not against custom. */
function ringsOf(polygon: XmlNode, shapes: Shapes): Position[][] | null {
  const outer = polygon.children
    .filter((c) => c.name === 'outerBoundaryIs')
    .flatMap((b) => b.children.filter((c) => c.name === 'LinearRing'));
  const inner = polygon.children
    .filter((c) => c.name === 'innerBoundaryIs')
    .flatMap((b) => b.children.filter((c) => c.name === 'LinearRing'));
  if (outer.length !== 1) {
    shapes.lost.push(outer.length === 0 ? 'a polygon without an outline' : 'a polygon with two outlines');
    return null;
  }
  const rings: Position[][] = [];
  for (const ring of [outer[0], ...inner]) {
    const positions = coordinates(ring, shapes);
    if (!positions) return null;
    rings.push(positions);
  }
  return rings;
}

/** Null where one position is no place: a shape with a corner left out would be another shape. */
function coordinates(node: XmlNode, shapes: Shapes): Position[] | null {
  const text = child(node, 'coordinates')?.text ?? '';
  return positionsOf(text.replace(/\s*,\s*/g, ',').split(/\s+/), ',', shapes);
}

/** gx:Track: one gx:coord a position, parted by blanks; empty ones stand for times without a position. */
function track(node: XmlNode, shapes: Shapes): Position[] | null {
  if (node.children.some((c) => c.name === 'when')) shapes.times = true;
  const texts = node.children.filter((c) => c.name === 'coord').map((c) => c.text.trim());
  return positionsOf(texts, /\s+/, shapes);
}

function positionsOf(texts: readonly string[], by: string | RegExp, shapes: Shapes): Position[] | null {
  const out: Position[] = [];
  for (const text of texts) {
    if (text === '') continue;
    const [x, y, z] = text.split(by);
    const lon = x === '' ? NaN : Number(x);
    const lat = y === undefined || y === '' ? NaN : Number(y);
    if (!(Math.abs(lat) <= 90 && Math.abs(lon) <= 360)) {
      shapes.lost.push(
        Math.abs(lon) <= 90 && Math.abs(lat) <= 180
          ? "a shape with a latitude beyond 90 degrees (are latitude and longitude in each other's place?)"
          : 'a shape with a position that is not longitude and latitude in degrees',
      );
      return null;
    }
    if (z !== undefined && Number(z) !== 0) shapes.heights = true;
    out.push([lon, lat]);
  }
  return out;
}

/** One geometry for all shapes of a kind; null where there is none. */
export function geometryOf(kind: 'points' | 'lines' | 'polygons', shapes: Shapes): RawGeometry | null {
  const all = shapes[kind];
  if (all.length === 0) return null;
  const type = kind === 'points' ? 'Point' : kind === 'lines' ? 'LineString' : 'Polygon';
  return all.length === 1 ? { type, coordinates: all[0] } : { type: `Multi${type}`, coordinates: all };
}
