/**
 * Geometries of a .shp (ESRI Shapefile Technical Description, 1998). Read here and not by the shpjs library, which gives a
 * hole to the outline whose box is smallest rather than to the one around it, ends without a word where a file is cut
 * short, and moves positions by itself. Every count is held against the bytes that are there before memory is taken.
 */
import { fail, ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { RawGeometry } from './geometry.ts';
import { polygonsFrom, TooTangled, type Corner } from './rings.ts';

const HEADER_BYTES = 100;
const FILE_CODE = 9994;
const AGAIN = 'Get the file again, all parts of it from the same place.';

export type ShapeKind = 'point' | 'line' | 'polygon';
type Shape = 'Point' | 'PolyLine' | 'Polygon' | 'MultiPoint';

/** Shape types by number; from 11 on with heights, from 21 on with measures. */
const SHAPES: ReadonlyMap<number, Shape> = new Map(
  ([1, 'Point', 3, 'PolyLine', 5, 'Polygon', 8, 'MultiPoint'] as const).flatMap((number, i, all) =>
    typeof number === 'number' ? [0, 10, 20].map((z) => [number + z, all[i + 1] as Shape] as const) : [],
  ),
);
const KINDS: Readonly<Record<Shape, ShapeKind>> = {
  Point: 'point',
  MultiPoint: 'point',
  PolyLine: 'line',
  Polygon: 'polygon',
};
const MULTI_PATCH = 31;
const PAUSE_BYTES = 1 << 21;

export interface Shapes {
  /** By record; null where a record has no geometry. */
  readonly geometries: readonly (RawGeometry | null)[];
  readonly notes: readonly Note[];
}

class Damaged extends Error {}

/** What the first 100 bytes say: the kind of all geometries, or why the file is not read. */
export function shapeKind(head: Uint8Array, file: string): Result<ShapeKind> {
  if (head.length < HEADER_BYTES) return fail('format', file, 'is a shapefile that is cut short', AGAIN);
  const view = viewOf(head);
  if (view.getInt32(0) !== FILE_CODE) return fail('format', file, 'is not a shapefile', AGAIN);
  const type = view.getInt32(32, true);
  const shape = SHAPES.get(type);
  if (shape) return ok(KINDS[shape]);
  if (type === MULTI_PATCH)
    return fail(
      'content',
      file,
      'holds surfaces in space (MultiPatch), which are not read',
      'Export their footprints as polygons.',
    );
  return fail(
    'content',
    file,
    type === 0 ? 'holds no shapes (its type is Null)' : `holds shapes of an unknown type (number ${type})`,
    'Check the file.',
  );
}

export async function readShapes(bytes: Uint8Array, file: string, work?: Work): Promise<Result<Shapes>> {
  const kind = shapeKind(bytes, file);
  if (!kind.ok) return kind;
  const view = viewOf(bytes);
  const stated = view.getInt32(24) * 2;
  if (stated > bytes.length)
    return fail('format', file, `is cut short (${bytes.length} of ${stated} bytes)`, AGAIN);
  // A length of the header alone is what a program leaves that stopped before it was done; the records may be there.
  const end = stated > HEADER_BYTES ? stated : bytes.length;
  const geometries: (RawGeometry | null)[] = [];
  const tally = { heights: 0, measures: 0, nesting: 0, flat: 0 };
  let paused = 0;
  for (let at = HEADER_BYTES; at < end;) {
    const where = `${file}, record ${geometries.length + 1}`;
    const next = at + 8 < end ? at + 8 + view.getInt32(at + 4) * 2 : Infinity;
    if (!(next > at + 8 && next <= end)) return fail('format', where, 'is damaged or cut short', AGAIN);
    try {
      geometries.push(shapeOf(new DataView(bytes.buffer, bytes.byteOffset + at + 8, next - at - 8), tally));
    } catch (error) {
      // RangeError: a look beyond the end of the record.
      if (!(error instanceof Damaged || error instanceof RangeError || error instanceof TooTangled))
        throw error;
      const why =
        error instanceof Damaged || error instanceof TooTangled
          ? error.message
          : 'it is shorter than its counts say';
      return fail('format', where, `is damaged (${why})`, AGAIN);
    }
    at = next;
    if (at - paused > PAUSE_BYTES) {
      paused = at;
      work?.progress?.(at, end, 'bytes of shapes read');
      await work?.pause?.();
    }
  }
  return ok({ geometries, notes: notesOf(tally, file) });
}

type Tally = Record<'heights' | 'measures' | 'nesting' | 'flat', number>;

function notesOf(tally: Tally, where: string): Note[] {
  const words: Readonly<Record<keyof Tally, string>> = {
    heights: 'heights were dropped',
    measures: 'measures along the shapes (M) were dropped',
    nesting: 'rings that turn the wrong way: those within others were taken for holes',
    flat: 'a ring without an area: left out',
  };
  return (Object.keys(words) as (keyof Tally)[])
    .filter((key) => tally[key] > 0)
    .map((key) => ({
      where,
      what: `${words[key]} (${tally[key]} ${tally[key] === 1 ? 'feature' : 'features'})`,
    }));
}

function shapeOf(record: DataView, tally: Tally): RawGeometry | null {
  const type = record.getInt32(0, true);
  if (type === 0) return null;
  const shape = SHAPES.get(type);
  if (!shape) throw new Damaged(`its type, ${type}, is not one of a shapefile`);
  if (type > 20) tally.measures++;
  else if (type > 10) tally.heights++;
  if (shape === 'Point') return { type: 'Point', coordinates: corner(record, 4) };
  if (shape === 'MultiPoint') {
    const count = within(record, record.getInt32(36, true), 16, 40);
    return { type: 'MultiPoint', coordinates: corners(record, 40, count) };
  }
  const parts = within(record, record.getInt32(36, true), 4, 44);
  const points = within(record, record.getInt32(40, true), 16, 44 + 4 * parts);
  const lines = linesOf(record, parts, points);
  if (lines.length === 0) return null;
  if (shape === 'PolyLine') return { type: 'MultiLineString', coordinates: lines };
  const sorted = polygonsFrom(lines);
  if (sorted.byNesting) tally.nesting++;
  if (sorted.flat > 0) tally.flat++;
  return { type: 'MultiPolygon', coordinates: sorted.polygons };
}

/** Parts begin at the places that a list says; a part that begins where the next one does is empty. */
function linesOf(record: DataView, parts: number, points: number): Corner[][] {
  const lines: Corner[][] = [];
  for (let p = 0; p < parts; p++) {
    const from = record.getInt32(44 + 4 * p, true);
    const to = p + 1 < parts ? record.getInt32(48 + 4 * p, true) : points;
    if (!(from >= 0 && from <= to && to <= points)) throw new Damaged('its parts are out of order');
    if (to > from) lines.push(corners(record, 44 + 4 * parts + 16 * from, to - from));
  }
  return lines;
}

/** The count, where so many things of so many bytes follow. */
function within(record: DataView, count: number, bytes: number, from: number): number {
  if (count < 0 || from + count * bytes > record.byteLength)
    throw new Damaged(`it states ${count} positions or parts, more than it holds`);
  return count;
}

const corner = (view: DataView, at: number): Corner => [
  view.getFloat64(at, true),
  view.getFloat64(at + 8, true),
];

function corners(view: DataView, at: number, count: number): Corner[] {
  const out = new Array<Corner>(count);
  for (let i = 0; i < count; i++) out[i] = corner(view, at + 16 * i);
  return out;
}

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
