/** How the numbers of a NetCDF variable are held, and which of them mean "missing". */
import type { Cells } from './blocks.ts';
import type { NcAttributes, NcType, NcVariable } from './netcdfHeader.ts';

export interface NcCells {
  /** Stored number that means missing; null where none does. NaN always does. */
  readonly nodata: number | null;
  readonly dtype: string;
  /** Bytes of a cell in memory. */
  readonly bytes: number;
  empty(n: number): Cells;
  /** The number to keep for a stored one: all that mean missing become `nodata`. */
  kept(stored: number): number;
}

/** Numbers that mean "never written" (netcdf.h, NC_FILL_*); bytes have none. */
const FILL: Partial<Readonly<Record<NcType, number>>> = {
  short: -32767,
  int: -2147483647,
  float: Math.fround(9.969209968386869e36),
  double: 9.969209968386869e36,
  ushort: 65535,
  uint: 4294967295,
};

type Make = new (n: number) => Cells;
const HELD: Readonly<Record<NcType, readonly [Make, string]>> = {
  byte: [Int8Array, 'Int8'],
  char: [Uint8Array, 'UInt8'],
  short: [Int16Array, 'Int16'],
  int: [Int32Array, 'Int32'],
  float: [Float32Array, 'Float32'],
  double: [Float64Array, 'Float64'],
  ubyte: [Uint8Array, 'UInt8'],
  ushort: [Uint16Array, 'UInt16'],
  uint: [Uint32Array, 'UInt32'],
  int64: [Float64Array, 'Int64'],
  uint64: [Float64Array, 'UInt64'],
};

const numbers = (attributes: NcAttributes, name: string): readonly number[] => {
  const value = attributes.get(name);
  if (value === undefined) return [];
  // Some files write numbers as text.
  return typeof value === 'string' ? (value.trim() === '' ? [] : [Number(value)]) : value;
};

/** Numbers as they are meant: bytes without a sign in files of the kinds that know none (NUG, "_Unsigned"). */
export function unsignedOf({ type, attributes }: Pick<NcVariable, 'type' | 'attributes'>): {
  readonly unsigned: boolean;
  readonly sign: (x: number) => number;
} {
  const wrap = { byte: 256, short: 65536, int: 4294967296 }[type as string];
  const unsigned = /^true$/i.test(String(attributes.get('_Unsigned') ?? '')) && wrap !== undefined;
  return { unsigned, sign: (x) => (unsigned && x < 0 ? x + wrap : x) };
}

/**
 * Least and most of what is valid, as stored. A range of floats for packed whole numbers is one of the values that they stand
 * for (NUG, appendix A, "valid_range").
 */
function validRange(
  { type, attributes, attributeTypes }: NcVariable,
  sign: (x: number) => number,
): { readonly low: number; readonly high: number } {
  const [scale = 1] = numbers(attributes, 'scale_factor');
  const [offset = 0] = numbers(attributes, 'add_offset');
  const isFloat = (t: NcType | undefined): boolean => t === 'float' || t === 'double';
  const bound = (name: string, index: number): number | null => {
    const x = numbers(attributes, name).at(index);
    if (x === undefined || Number.isNaN(x)) return null;
    if (isFloat(type) || !isFloat(attributeTypes.get(name))) return sign(x);
    const stored = (x - offset) / scale;
    // A bound lies on a stored number but for the rounding of 0.29 / 0.01.
    return Math.abs(stored - Math.round(stored)) < 1e-3 ? Math.round(stored) : stored;
  };
  const a = bound('valid_min', 0) ?? bound('valid_range', 0) ?? -Infinity;
  const b = bound('valid_max', 0) ?? bound('valid_range', 1) ?? Infinity;
  // A negative scale turns the two around.
  return a > b && scale < 0 ? { low: b, high: a } : { low: a, high: b };
}

/** Missing: _FillValue, every missing_value, and what lies outside the valid range (CF 1.11, section 2.5.1; NUG, appendix A). */
export function netcdfCells(variable: NcVariable): NcCells {
  const { type, attributes } = variable;
  const { unsigned, sign } = unsignedOf(variable);
  const all = (name: string): number[] => numbers(attributes, name).map(sign);
  const fill = all('_FillValue').at(0) ?? FILL[unsigned ? (`u${type}` as NcType) : type];
  const missing = all('missing_value');
  const { low, high } = validRange(variable, sign);
  const ranged = low > -Infinity || high < Infinity;

  const own = unsigned ? (`u${type}` as NcType) : type;
  const [held, dtype] = HELD[own];
  const single = own === 'float';
  const nodata = fill ?? missing.at(0);
  const round = (x: number): number => (single ? Math.fround(x) : x);
  if (nodata === undefined && ranged) {
    // Bytes may use all of their numbers: missing is one that no byte is.
    const none = -32768;
    return {
      nodata: none,
      dtype,
      bytes: 2,
      empty: (n) => new Int16Array(n),
      kept: (stored) => (sign(stored) < low || sign(stored) > high ? none : sign(stored)),
    };
  }
  const empty = (n: number): Cells => new held(n);
  const bytes =
    held === Float64Array ? 8 : /64$/.test(dtype) ? 8 : /32$/.test(dtype) ? 4 : /16$/.test(dtype) ? 2 : 1;
  if (nodata === undefined) return { nodata: null, dtype, bytes, empty, kept: sign };
  const value = round(nodata);
  const others = missing.map(round).filter((m) => m !== value && !Number.isNaN(m));
  if (others.length === 0 && !ranged)
    return { nodata: Number.isNaN(value) ? null : value, dtype, bytes, empty, kept: sign };
  // A nodata of NaN: floats, for which NaN itself does.
  return {
    nodata: Number.isNaN(value) ? null : value,
    dtype,
    bytes,
    empty,
    kept(stored) {
      const x = sign(stored);
      return x < low || x > high || others.includes(x) ? value : x;
    },
  };
}
