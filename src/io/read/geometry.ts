/** From GeoJSON-like geometries in a file's coordinates to WGS 84 areas, tracks and spots, with notes on what was mended or left out. */
import type {
  Area,
  Attributes,
  Box,
  Line,
  MultiPolygon,
  Polygon,
  Ring,
  Spot,
  Track,
} from '../../domain/base/geo.ts';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Crs } from '../crs.ts';
import type { Content, Offer, ReadOptions } from './types.ts';

export interface RawFeature {
  readonly geometry: RawGeometry | null;
  readonly properties: Readonly<Record<string, unknown>> | null;
}

export interface RawGeometry {
  readonly type: string;
  readonly coordinates?: unknown;
  readonly geometries?: readonly RawGeometry[];
}

type Kind = 'polygon' | 'line' | 'point';

const KINDS: ReadonlyMap<unknown, Kind> = new Map([
  ['Polygon', 'polygon'],
  ['MultiPolygon', 'polygon'],
  ['LineString', 'line'],
  ['MultiLineString', 'line'],
  ['Point', 'point'],
  ['MultiPoint', 'point'],
]);
const WORDS: Readonly<Record<Kind, string>> = { polygon: 'polygons', line: 'lines', point: 'points' };

export interface Features {
  readonly content: Content;
  readonly extent: Box;
  /** What was mended or left out, and what there is to say of the coordinate system. Readers pass them on. */
  readonly notes: readonly Note[];
  /** Mistakes of position that were seen and not mended. Readers pass them on in `Opened.offers`. */
  readonly offers: readonly Offer[];
}

/** Tally of one kind of trouble, so that a note says "in 12 features" once. */
class Tally {
  #counts = new Map<string, number>();
  add(what: string): void {
    this.#counts.set(what, (this.#counts.get(what) ?? 0) + 1);
  }
  notes(where: string): Note[] {
    return [...this.#counts].map(([what, n]) => ({
      where,
      what: `${what} (${n} ${n === 1 ? 'feature' : 'features'})`,
    }));
  }
}

/**
 * The features of one file. The kind that most of them are is kept; others are left out with a note.
 * @param crs of the coordinates; null: the file does not say, or says WGS 84 degrees.
 * @param options as the reader got them: what to mend, and whether `crs` is the user's.
 */
export function featuresFrom(
  raw: readonly RawFeature[],
  crs: Crs | null,
  file: string,
  _options: Pick<ReadOptions, 'mend' | 'crs'> = {},
): Result<Features> {
  const tally = new Tally();
  const counts = new Map<Kind, number>();
  for (const f of raw) {
    const kind = KINDS.get(f.geometry?.type);
    if (kind) counts.set(kind, (counts.get(kind) ?? 0) + 1);
    else
      tally.add(f.geometry ? `geometry of the type ${f.geometry.type} is not read` : 'no geometry: left out');
  }
  const [most] = [...counts].sort((a, b) => b[1] - a[1]);
  if (!most) {
    const why = raw.length === 0 ? 'holds no features' : 'holds no points, lines or polygons';
    return fail('content', file, why, 'Check the file.');
  }
  const kind = most[0];
  const place = reprojection(crs);
  const areas: Area[] = [];
  const tracks: Track[] = [];
  const spots: Spot[] = [];
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  // What was met in the feature at hand.
  const met = { heights: false, lost: false };
  const point = (p: unknown): [number, number] | null => {
    if (Array.isArray(p) && typeof p[0] === 'number' && typeof p[1] === 'number') {
      const [x, y] = place(p[0], p[1]);
      if (p.length > 2) met.heights = true;
      if (Number.isFinite(x) && Number.isFinite(y)) return [x, y];
    }
    met.lost = true;
    return null;
  };
  const seen = ([x, y]: readonly [number, number]): void => {
    if (x < box[0]) box[0] = x;
    if (y < box[1]) box[1] = y;
    if (x > box[2]) box[2] = x;
    if (y > box[3]) box[3] = y;
  };
  for (const f of raw) {
    const own = KINDS.get(f.geometry?.type);
    if (!f.geometry || own === undefined) continue;
    if (own !== kind) {
      tally.add(`${WORDS[own]} among ${WORDS[kind]} were left out`);
      continue;
    }
    const attributes = plain(f.properties);
    const multi = f.geometry.type.startsWith('Multi');
    const parts: unknown[] = multi ? list(f.geometry.coordinates) : [f.geometry.coordinates];
    met.heights = false;
    met.lost = false;
    if (kind === 'point') {
      for (const part of parts) {
        const p = point(part);
        if (!p) continue;
        seen(p);
        spots.push({ lon: p[0], lat: p[1], attributes });
      }
    } else if (kind === 'line') {
      const lines = parts.map((part) => lineOf(part, point)).filter((l): l is Line => l !== null);
      if (lines.length < parts.length) tally.add('a line with fewer than two positions: left out');
      if (lines.length > 0) tracks.push({ lines, attributes });
      for (const l of lines) l.forEach(seen);
    } else {
      const polygons = parts
        .map((part) => polygonOf(part, point, tally))
        .filter((p): p is Polygon => p !== null);
      const geometry: MultiPolygon = polygons;
      if (polygons.length > 0) areas.push({ geometry, attributes });
      for (const p of polygons) for (const ring of p) ring.forEach(seen);
    }
    if (met.heights) tally.add('heights were dropped');
    if (met.lost) tally.add('a position that is not two numbers: left out');
  }
  const content: Content =
    kind === 'polygon'
      ? { kind, features: areas }
      : kind === 'line'
        ? { kind, features: tracks }
        : { kind, features: spots };
  if (content.features.length === 0)
    return fail('content', file, 'holds no feature with a usable position', 'Check the file.');
  if (box[0] < -181 || box[2] > 361 || box[1] < -90.01 || box[3] > 90.01) {
    return fail(
      'crs',
      file,
      `has positions up to ${box.map((x) => Number(x.toPrecision(7))).join(', ')}, which are not degrees`,
      'Its coordinate system is missing or wrong: give it (EPSG code, WKT or PROJ string), or convert the file.',
    );
  }
  return ok({ content, extent: box, notes: tally.notes(file), offers: [] });
}

const list = (value: unknown): unknown[] => (Array.isArray(value) ? (value as unknown[]) : []);

function reprojection(crs: Crs | null): (x: number, y: number) => [number, number] {
  return crs ? (x, y) => crs.inverseOne(x, y) : (x, y) => [x, y];
}

function lineOf(value: unknown, point: (p: unknown) => [number, number] | null): Line | null {
  const line = list(value)
    .map(point)
    .filter((p): p is [number, number] => p !== null);
  return line.length >= 2 ? line : null;
}

/** Outer ring first; a ring of fewer than three different positions is no area. */
function polygonOf(
  value: unknown,
  point: (p: unknown) => [number, number] | null,
  tally: Tally,
): Polygon | null {
  const rings: Ring[] = [];
  for (const [i, raw] of list(value).entries()) {
    const ring = lineOf(raw, point) as [number, number][] | null;
    if (ring && (ring[0][0] !== ring[ring.length - 1][0] || ring[0][1] !== ring[ring.length - 1][1])) {
      ring.push([ring[0][0], ring[0][1]]);
      tally.add('an open ring was closed');
    }
    if (!ring || ring.length < 4) {
      tally.add(
        i === 0
          ? 'an outline with fewer than three corners: left out'
          : 'a hole with fewer than three corners: left out',
      );
      if (i === 0) return null;
      continue;
    }
    rings.push(ring);
  }
  return rings.length > 0 ? rings : null;
}

/** Attributes as text, number, truth or nothing; nested values are kept as their JSON text. */
function plain(properties: Readonly<Record<string, unknown>> | null): Attributes {
  const out: Record<string, string | number | boolean | null> = {};
  for (const [key, value] of Object.entries(properties ?? {})) {
    if (value === null || value === undefined) out[key] = null;
    else if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean')
      out[key] = value;
    else if (typeof value === 'bigint') out[key] = Number(value);
    else out[key] = JSON.stringify(value);
  }
  return out;
}
