/** From GeoJSON-like geometries in a file's coordinates to WGS 84 areas, tracks and spots, with notes on what was mended or left out. */
import type { Area, Attributes, Box, Spot, Track } from '../../../domain/base/geo.ts';
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Crs } from '../../crs/crs.ts';
import { placed } from './placed.ts';
import { shapesOf, type RawFeature, type Run, type Shapes } from './shapes.ts';
import type { Content, Offer, ReadOptions } from '../types.ts';

export type { RawFeature, RawGeometry } from './shapes.ts';

export interface Features {
  readonly content: Content;
  /** null where no position could be kept, but mending one of the offers would give some. */
  readonly extent: Box | null;
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
 * The features of one file. The kind that most of them are is kept; others are left out with a note, as are positions that are
 * no numbers or lie outside the earth. Mistakes of position are offered (domain/layers/misplaced.ts has the rules) and mended
 * only where the options ask. Fails with the box of the file's coordinates where they cannot be what `crs` says: no system and
 * not degrees, or a system of degrees and most of them out of range.
 * @param crs of the coordinates; null: the file does not say, or says WGS 84 degrees.
 * @param options as the reader got them: what to mend, and whether `crs` is the user's.
 */
export function featuresFrom(
  raw: readonly RawFeature[],
  crs: Crs | null,
  file: string,
  options: Pick<ReadOptions, 'mend' | 'crs'> = {},
): Result<Features> {
  const tally = new Tally();
  const shapes = shapesOf(raw, (what) => tally.add(what));
  if (!shapes) {
    const why = raw.length === 0 ? 'holds no features' : 'holds no points, lines or polygons';
    return fail('content', file, why, 'Check the file.');
  }
  const at = placed(shapes.x, shapes.y, crs, file, options);
  if (!at.ok) return at;
  const { lon, lat, notes, offers } = at.value;
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  const content = contentOf(raw, shapes, lon, lat, box, (what) => tally.add(what));
  const empty = content.features.length === 0;
  if (empty && offers.length === 0)
    return fail('content', file, 'holds no feature with a usable position', 'Check the file.');
  return ok({ content, extent: empty ? null : box, notes: [...notes, ...tally.notes(file)], offers });
}

type Say = (what: string) => void;
type Vectors = Exclude<Content, { kind: 'raster' } | { kind: 'table' }>;
type Path = [number, number][];

function contentOf(
  raw: readonly RawFeature[],
  shapes: Shapes,
  lon: Float64Array,
  lat: Float64Array,
  box: [number, number, number, number],
  say: Say,
): Vectors {
  const areas: Area[] = [];
  const tracks: Track[] = [];
  const spots: Spot[] = [];
  const { x, y, kind } = shapes;
  for (const { feature, parts, start, end } of shapes.features) {
    const attributes = plain(raw[feature].properties);
    const lost = { numbers: false, place: false };
    const back = isPastDateLine(lon, start, end) ? 360 : 0;
    if (back > 0) say('longitudes above 180 were brought below 0');
    const run = ([from, to]: Run): Path => {
      const line: Path = [];
      for (let i = from; i < to; i++) {
        const p = lon[i];
        const q = lat[i];
        // NaN differs from itself.
        if (p === p && q === q) line.push([p - back, q]);
        else if (x[i] === x[i] && y[i] === y[i]) lost.place = true;
        else lost.numbers = true;
      }
      return line;
    };
    const seen = (line: Path): void => {
      for (const [p, q] of line) {
        if (p < box[0]) box[0] = p;
        if (q < box[1]) box[1] = q;
        if (p > box[2]) box[2] = p;
        if (q > box[3]) box[3] = q;
      }
    };
    if (kind === 'point') {
      for (const [part] of parts) {
        const line = run(part);
        seen(line);
        for (const [p, q] of line) spots.push({ lon: p, lat: q, attributes });
      }
    } else if (kind === 'line') {
      const lines = parts.map(([part]) => run(part)).filter((l) => l.length >= 2);
      if (lines.length < parts.length) say('a line with fewer than two positions: left out');
      if (lines.length > 0) tracks.push({ lines, attributes });
      lines.forEach(seen);
    } else {
      const polygons = parts
        .map((rings) => polygonOf(rings, run, say))
        .filter((p): p is Path[] => p !== null);
      if (polygons.length > 0) areas.push({ geometry: polygons, attributes });
      for (const rings of polygons) rings.forEach(seen);
    }
    if (lost.numbers) say('a position that is not two numbers: left out');
    if (lost.place) say('a position that is not on the earth: left out');
  }
  return kind === 'polygon'
    ? { kind, features: areas }
    : kind === 'line'
      ? { kind, features: tracks }
      : { kind, features: spots };
}

/** Longitudes that run from 0 to 360, all of a feature's; one that spans the date line is left as it is. */
function isPastDateLine(lon: Float64Array, start: number, end: number): boolean {
  let past = false;
  for (let i = start; i < end; i++) {
    if (lon[i] < 180) return false;
    if (lon[i] > 180) past = true;
  }
  return past;
}

/** Outer ring first; a ring of fewer than three different positions is no area. */
function polygonOf(runs: readonly Run[], run: (r: Run) => Path, say: Say): Path[] | null {
  const rings: Path[] = [];
  for (const [i, r] of runs.entries()) {
    const ring = run(r);
    const [first, last] = [ring[0], ring[ring.length - 1]];
    if (ring.length >= 2 && (first[0] !== last[0] || first[1] !== last[1])) {
      ring.push([first[0], first[1]]);
      say('an open ring was closed');
    }
    if (ring.length >= 4) {
      rings.push(ring);
      continue;
    }
    say(
      i === 0
        ? 'an outline with fewer than three corners: left out'
        : 'a hole with fewer than three corners: left out',
    );
    if (i === 0) return null;
  }
  return rings.length > 0 ? rings : null;
}

/** Attributes as text, number, truth or nothing; nested values are kept as their JSON text. */
function plain(properties: Readonly<Record<string, unknown>> | null): Attributes {
  // From entries, so that a name like "__proto__" is a name like any other.
  return Object.fromEntries(
    Object.entries(properties ?? {}).map(([key, value]) => {
      if (value === null || value === undefined) return [key, null];
      if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean')
        return [key, value];
      if (typeof value === 'bigint') return [key, Number(value)];
      return [key, JSON.stringify(value)];
    }),
  );
}
