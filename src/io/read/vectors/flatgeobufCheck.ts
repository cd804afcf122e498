/**
 * A look at the layout of a FlatGeobuf file before the library reads it: it trusts the lengths in the file, takes what lies
 * beyond the end for zeros, and can loop without end over a damaged one.
 *
 * FlatGeobuf 3: eight bytes of magic, a header, an index where there is one, and features, each a FlatBuffers table after its
 * length in four bytes. Fields are numbered as in the format's header.fbs and feature.fbs.
 */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';

const MAGIC_BYTES = 8;
/** Largest header that is believed; the library's limit too. */
const MOST_HEADER = 10 << 20;
/** Bytes of one node of the index: a box and an offset. */
const NODE_BYTES = 40;

const HEADER = { measures: 4, columns: 7, featuresCount: 8, indexNodeSize: 9 };
const FEATURE = { geometry: 0, properties: 1, columns: 2 };
const GEOMETRY = { ends: 0, xy: 1, z: 2, m: 3, t: 4, tm: 5, parts: 7 };
/** Bytes of one entry of the lists of a geometry. */
const LISTS: ReadonlyArray<readonly [field: number, bytes: number]> = [
  [GEOMETRY.ends, 4],
  [GEOMETRY.xy, 8],
  [GEOMETRY.z, 8],
  [GEOMETRY.m, 8],
  [GEOMETRY.t, 8],
  [GEOMETRY.tm, 8],
  [GEOMETRY.parts, 4],
];
/** Geometries within geometries: a collection of collections is rare, more is damage. */
const MOST_DEEP = 8;

class Damaged extends Error {}

export interface FlatgeobufHeader {
  /** Number of features. */
  readonly count: number;
  /** Positions have measures (M), which the library leaves out. */
  readonly measures: boolean;
}

/** What the file holds, where every length and offset stays in the file and in its feature; else what is damaged. */
export function flatgeobufFeatures(bytes: Uint8Array, file: string): Result<FlatgeobufHeader> {
  return guarded(file, () => countFeatures(viewOf(bytes)));
}

/** The header of a file with an index to search, null where there is none; fails where the header is damaged. */
export async function flatgeobufIndexed(source: Source): Promise<Result<FlatgeobufHeader | null>> {
  const start = await source.read(0, MAGIC_BYTES + 4);
  if (!start.ok) return start;
  const length = guarded(source.name, () => viewOf(start.value).getUint32(MAGIC_BYTES, true));
  if (!length.ok) return length;
  const bytes = await source.read(0, MAGIC_BYTES + 4 + Math.min(length.value, MOST_HEADER));
  if (!bytes.ok) return bytes;
  return guarded(source.name, () => {
    const { count, nodeSize, features, measures } = headerOf(viewOf(bytes.value));
    if (source.size !== null && features > source.size) throw new Damaged('the index is not whole');
    return nodeSize > 0 && count > 0 ? { count, measures } : null;
  });
}

/** Fails where a feature that was fetched by itself, its length in the first four bytes, is damaged. */
export function flatgeobufFeature(bytes: Uint8Array, file: string): Result<null> {
  return guarded(file, () => {
    checkFeature(root(viewOf(bytes), 0, bytes.length));
    return null;
  });
}

const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

function guarded<T>(file: string, look: () => T): Result<T> {
  try {
    return ok(look());
  } catch (error) {
    // RangeError: a read beyond the end of the view.
    if (!(error instanceof Damaged || error instanceof RangeError)) throw error;
    const why = error instanceof Damaged ? error.message : 'the end is missing';
    return fail('format', file, `is damaged or cut short (${why})`, 'Get the file again.');
  }
}

/** What the header says; `features`: byte where the first feature begins. */
function headerOf(view: DataView): FlatgeobufHeader & { nodeSize: number; features: number } {
  const end = MAGIC_BYTES + 4 + view.getUint32(MAGIC_BYTES, true);
  if (end > view.byteLength) throw new Damaged('the header is not whole');
  const header = root(view, MAGIC_BYTES, end);
  list(header, HEADER.columns, 4);
  const count = Number(scalar(header, HEADER.featuresCount, 8, 0));
  const nodeSize = Number(scalar(header, HEADER.indexNodeSize, 2, 16));
  const measures = Number(scalar(header, HEADER.measures, 1, 0)) > 0;
  return { count, measures, nodeSize, features: end + (nodeSize > 0 ? indexBytes(count, nodeSize) : 0) };
}

function countFeatures(view: DataView): FlatgeobufHeader {
  const size = view.byteLength;
  const { count, nodeSize, features, measures } = headerOf(view);
  if (features > size) throw new Damaged('the index is not whole');
  let found = 0;
  for (let at = features; at < size; found++) {
    const end = at + 4 + view.getUint32(at, true);
    if (end > size) throw new Damaged(`feature ${found + 1} is not whole`);
    checkFeature(root(view, at, end));
    at = end;
  }
  // Without an index, zero stands for a number that the writer did not know.
  if (found !== count && (count !== 0 || nodeSize > 0))
    throw new Damaged(`it holds ${found} of ${count} features`);
  return { count: found, measures };
}

function checkFeature(feature: Table): void {
  list(feature, FEATURE.properties, 1);
  list(feature, FEATURE.columns, 4);
  const geometry = field(feature, FEATURE.geometry, 4);
  if (geometry === null) return;
  // Parts that share a table, which no writer makes, could multiply without end.
  let most = (feature.end - feature.start) / 4;
  const look = (g: Table, depth: number): void => {
    if (depth > MOST_DEEP || --most < 0) throw new Damaged('geometries in geometries without end');
    for (const [number, bytes] of LISTS) list(g, number, bytes);
    const parts = list(g, GEOMETRY.parts, 4);
    for (let i = 0; i < parts.length; i++) look(table(g, parts.at + 4 * i), depth + 1);
  };
  look(table(feature, geometry), 0);
}

/** Packed R-tree of the format: every level has a node for each `nodeSize` of the one below it, up to one root. */
function indexBytes(count: number, nodeSize: number): number {
  if (count === 0) return 0;
  const each = Math.max(2, nodeSize);
  let nodes = count;
  for (let level = count; level > 1;) {
    level = Math.ceil(level / each);
    nodes += level;
  }
  // One feature has a leaf and a root.
  return (count === 1 ? 2 : nodes) * NODE_BYTES;
}

/** A FlatBuffers table at `at` in a part of the file that ends at `end`. */
interface Table {
  readonly view: DataView;
  readonly at: number;
  readonly start: number;
  readonly end: number;
  readonly vtable: number;
  readonly vtableBytes: number;
}

/** The table of a part that begins with its length. */
function root(view: DataView, start: number, end: number): Table {
  return tableAt(view, start + 4 + view.getUint32(start + 4, true), start + 4, end);
}

/** The table that the offset at `at` points to. */
function table(from: Table, at: number): Table {
  return tableAt(from.view, at + from.view.getInt32(at, true), from.start, from.end);
}

function tableAt(view: DataView, at: number, start: number, end: number): Table {
  if (at < start || at + 4 > end) throw new Damaged('an offset leads out of its feature');
  const vtable = at - view.getInt32(at, true);
  if (vtable < start || vtable + 4 > end) throw new Damaged('an offset leads out of its feature');
  const vtableBytes = view.getUint16(vtable, true);
  if (vtable + vtableBytes > end) throw new Damaged('an offset leads out of its feature');
  return { view, at, start, end, vtable, vtableBytes };
}

/** Where the value of a field is; null where the field is left out. */
function field({ view, at, end, vtable, vtableBytes }: Table, number: number, bytes: number): number | null {
  const entry = 4 + 2 * number;
  if (entry + 2 > vtableBytes) return null;
  const offset = view.getUint16(vtable + entry, true);
  if (offset === 0) return null;
  if (at + offset + bytes > end) throw new Damaged('an offset leads out of its feature');
  return at + offset;
}

function scalar(from: Table, number: number, bytes: 1 | 2 | 8, otherwise: number): bigint | number {
  const at = field(from, number, bytes);
  if (at === null) return otherwise;
  if (bytes === 1) return from.view.getUint8(at);
  return bytes === 8 ? from.view.getBigUint64(at, true) : from.view.getUint16(at, true);
}

/** The list in a field: where its entries are, and how many. */
function list(from: Table, number: number, bytes: number): { at: number; length: number } {
  const offset = field(from, number, 4);
  if (offset === null) return { at: 0, length: 0 };
  const at = offset + from.view.getUint32(offset, true);
  if (at < from.start || at + 4 > from.end) throw new Damaged('an offset leads out of its feature');
  const length = from.view.getUint32(at, true);
  if (at + 4 + length * bytes > from.end) throw new Damaged('a list is longer than its feature');
  return { at: at + 4, length };
}
