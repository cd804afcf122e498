/**
 * The header of a NetCDF file of the classic kinds: dimensions, attributes, variables and where their numbers lie. Grammar:
 * "The NetCDF Classic Format Specification" (Unidata; OGC 10-092r3), CDF-1, CDF-2 (64-bit offset) and CDF-5 (64-bit data).
 *
 * Not netcdfjs 4.0.0, which the tests compare with: it wants the whole file in memory, refuses 64-bit offsets over 4 GB and
 * CDF-5, goes astray where one variable is alone in its records, and takes 260 MB for a header that lies about a count.
 */
import { fail, ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';

export type NcType =
  'byte' | 'char' | 'short' | 'int' | 'float' | 'double' | 'ubyte' | 'ushort' | 'uint' | 'int64' | 'uint64';
export type NcAttributes = ReadonlyMap<string, string | readonly number[]>;

export interface NcVariable {
  readonly name: string;
  /** Indexes into the header's dimensions, the slowest first. */
  readonly dimensions: readonly number[];
  readonly attributes: NcAttributes;
  readonly attributeTypes: ReadonlyMap<string, NcType>;
  readonly type: NcType;
  /** Byte at which its numbers begin. */
  readonly begin: number;
  /** Its first dimension is the one that grows: its numbers lie in records, `recordBytes` apart. */
  readonly record: boolean;
}

export interface NcHeader {
  readonly dimensions: ReadonlyArray<{ readonly name: string; readonly size: number }>;
  readonly variables: readonly NcVariable[];
  /** From the start of one record to the next. */
  readonly recordBytes: number;
}

const TYPES: readonly NcType[] = [
  'byte',
  'char',
  'short',
  'int',
  'float',
  'double',
  'ubyte',
  'ushort',
  'uint',
  'int64',
  'uint64',
];
export const NC_BYTES: Readonly<Record<NcType, number>> = {
  byte: 1,
  char: 1,
  short: 2,
  int: 4,
  float: 4,
  double: 8,
  ubyte: 1,
  ushort: 2,
  uint: 4,
  int64: 8,
  uint64: 8,
};
const NC_DIMENSION = 10;
const NC_VARIABLE = 11;
const NC_ATTRIBUTE = 12;
const STREAMING = 0xffffffff;
/** Bytes that are read at first, and more if the header is longer. Histories of many commands can be long. */
const HEADS = [65_536, 1 << 20, 1 << 24];

/** The library of the format allows 8192 variables and attributes, and 1024 dimensions. */
const MOST_THINGS = 100_000;
const MOST_DIMENSIONS = 1024;

/** The bytes at hand end before the header does. */
class Short extends Error {}
class Wrong extends Error {}

export async function netcdfHeader(source: Source): Promise<Result<NcHeader>> {
  for (const length of HEADS) {
    const head = await source.read(0, length);
    if (!head.ok) return head;
    try {
      return ok(headerIn(head.value, source.size));
    } catch (error) {
      if (error instanceof Wrong)
        return fail('format', source.name, `is damaged (${error.message})`, 'Get the file again.');
      if (!(error instanceof Short)) throw error;
      if (head.value.length < length) break;
    }
  }
  return fail(
    'format',
    source.name,
    'is damaged or cut short (its header does not end)',
    'Get the file again.',
  );
}

function headerIn(bytes: Uint8Array, size: number | null): NcHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const version = bytes[3];
  let at = 4;
  const take = (n: number): number => {
    const from = at;
    if (!(n <= bytes.length - at)) throw new Short();
    at += n;
    return from;
  };
  const four = (): number => view.getUint32(take(4));
  const eight = (): number => Number(view.getBigUint64(take(8)));
  const count = version === 5 ? eight : four;
  const offset = version === 1 ? four : eight;
  const text = (n: number): string => {
    const from = take(n + ((4 - (n % 4)) % 4));
    return new TextDecoder().decode(bytes.subarray(from, from + n)).replace(/\0+$/, '');
  };
  const list = <T>(tag: number, what: string, one: () => T): T[] => {
    const found = four();
    const n = count();
    if (n > MOST_THINGS) throw new Wrong(`${n} ${what}`);
    if (found !== tag && !(found === 0 && n === 0)) throw new Wrong(`no list of ${what} where one should be`);
    const out: T[] = [];
    for (let i = 0; i < n; i++) out.push(one());
    return out;
  };
  const type = (): NcType => {
    const code = four();
    const name = TYPES.at(code - 1);
    if (code === 0 || name === undefined) throw new Wrong(`the unknown type ${code}`);
    return name;
  };
  const attributes = (types = new Map<string, NcType>()): NcAttributes =>
    new Map(
      list(NC_ATTRIBUTE, 'attributes', (): [string, string | number[]] => {
        const name = text(count());
        const kind = type();
        types.set(name, kind);
        const n = count();
        if (kind === 'char') return [name, text(n)];
        const from = take(Math.ceil((n * NC_BYTES[kind]) / 4) * 4);
        return [name, Array.from({ length: n }, (_, i) => numberAt(view, kind, from + i * NC_BYTES[kind]))];
      }),
    );

  const said = count();
  const sizes = list(NC_DIMENSION, 'dimensions', () => ({ name: text(count()), size: count() }));
  const growing = sizes.findIndex((d) => d.size === 0);
  attributes();
  const drafts = list(NC_VARIABLE, 'variables', () => {
    const name = text(count());
    const rank = count();
    if (rank > MOST_DIMENSIONS) throw new Wrong(`${name} of ${rank} dimensions`);
    const dimensions: number[] = [];
    for (let i = 0; i < rank; i++) {
      const d = count();
      if (d >= sizes.length) throw new Wrong(`a dimension of ${name} that there is not`);
      dimensions.push(d);
    }
    const attributeTypes = new Map<string, NcType>();
    const own = attributes(attributeTypes);
    const kind = type();
    // Its size in bytes: follows from the dimensions, and is not to be relied on where it exceeds 32 bits.
    count();
    return {
      name,
      dimensions,
      attributes: own,
      attributeTypes,
      type: kind,
      begin: offset(),
      record: growing >= 0 && dimensions[0] === growing,
    };
  });
  // Bytes of one record of a variable: of all of it where it has none.
  const bytesOf = (v: (typeof drafts)[number]): number =>
    v.dimensions.slice(v.record ? 1 : 0).reduce((n, d) => n * sizes[d].size, NC_BYTES[v.type]);
  const records = drafts.filter((v) => v.record);
  const padded = (n: number): number => Math.ceil(n / 4) * 4;
  // A record variable that is alone is not padded (the specification's "special case").
  const recordBytes =
    records.length === 1 ? bytesOf(records[0]) : records.reduce((n, v) => n + padded(bytesOf(v)), 0);
  const streaming = said === STREAMING || said > Number.MAX_SAFE_INTEGER;
  const first = Math.min(...records.map((v) => v.begin));
  const grown = !streaming
    ? said
    : size === null || records.length === 0
      ? 0
      : Math.floor((size - first) / recordBytes);
  return {
    dimensions: sizes.map((d, i) => (i === growing ? { ...d, size: Math.max(0, grown) } : d)),
    variables: drafts,
    recordBytes,
  };
}

export function numberAt(view: DataView, type: NcType, at: number): number {
  switch (type) {
    case 'byte':
      return view.getInt8(at);
    case 'char':
    case 'ubyte':
      return view.getUint8(at);
    case 'short':
      return view.getInt16(at);
    case 'ushort':
      return view.getUint16(at);
    case 'int':
      return view.getInt32(at);
    case 'uint':
      return view.getUint32(at);
    case 'float':
      return view.getFloat32(at);
    case 'double':
      return view.getFloat64(at);
    case 'int64':
      return Number(view.getBigInt64(at));
    case 'uint64':
      return Number(view.getBigUint64(at));
  }
}
