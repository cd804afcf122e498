/**
 * A look at the pages of a column of a Parquet file before the library reads it: it believes every count in them, and a run
 * that states two thousand million repetitions fills the memory until the process ends, which nothing can catch. Layout as in
 * parquet.thrift and Encodings.md of the format (2.11): headers in Thrift's compact protocol, levels and places in the
 * dictionary as runs.
 */
import type { ColumnMetaData, Compressors, SchemaElement } from 'hyparquet';

/** The file is damaged; the message says where. */
export class PageTrouble extends Error {}

/** Values of one column of one group. */
const MOST_VALUES = 100e6;
/** Runs are padded to whole groups of eight, by some writers to more. */
const PADDING = 1024;
const DATA = 0;
const DICTIONARY = 2;
const DATA_2 = 3;
const DICTIONARY_PLACES = [2, 8];
const RUNS = 3;
const BOOLEAN = 'BOOLEAN';

interface Levels {
  /** Highest level of definition and of repetition: 0 where there are none. */
  readonly definition: number;
  readonly repetition: number;
}

/**
 * @param chunk all bytes of the column in its group.
 * @param rows of the group.
 */
export function checkPages(
  chunk: Uint8Array,
  column: ColumnMetaData,
  schema: readonly SchemaElement[],
  rows: number,
  unpack: Compressors,
): void {
  const levels = levelsOf(column.path_in_schema, schema);
  const stated = Number(column.num_values);
  if (!(stated >= 0 && stated <= MOST_VALUES) || (levels.repetition === 0 && stated !== rows))
    throw new PageTrouble('a column states another number of values than rows');
  const reader = new Reader(chunk);
  let values = 0;
  while (values < stated && reader.at < chunk.length - 1) {
    const header = reader.struct();
    const packed = reader.take(int(header, 3));
    const page = pageOf(header);
    if (page.kind === DICTIONARY) {
      if (page.values > MOST_VALUES || page.values > int(header, 2) + 1)
        throw new PageTrouble('a dictionary states more values than it holds');
      continue;
    }
    if (page.kind !== DATA && page.kind !== DATA_2) continue;
    values += page.values;
    if (values > stated) throw new PageTrouble('its pages state more values than the column');
    checkValues(page, packed, int(header, 2), column, levels, unpack);
  }
}

interface Page {
  readonly kind: number;
  readonly values: number;
  readonly nulls: number;
  readonly encoding: number;
  /** Bytes of levels before the values, unpacked (second version of pages). */
  readonly repetitionBytes: number;
  readonly definitionBytes: number;
  readonly packed: boolean;
}

function pageOf(header: Struct): Page {
  const kind = int(header, 1);
  const own = header.get(kind === DATA ? 5 : kind === DICTIONARY ? 7 : 8);
  if (kind > DATA_2 || kind < 0) throw new PageTrouble('a page is of an unknown kind');
  const plain = { kind, nulls: 0, repetitionBytes: 0, definitionBytes: 0, packed: true };
  if (!(own instanceof Map)) {
    // A page of an index is passed over.
    if (kind === 1) return { ...plain, values: 0, encoding: 0 };
    throw new PageTrouble('a page has no header of its kind');
  }
  if (kind !== DATA_2) return { ...plain, values: int(own, 1), encoding: int(own, 2) };
  return {
    kind,
    values: int(own, 1),
    nulls: int(own, 2),
    encoding: int(own, 4),
    definitionBytes: int(own, 5),
    repetitionBytes: int(own, 6),
    packed: own.get(7) !== false,
  };
}

function checkValues(
  page: Page,
  packed: Uint8Array,
  unpackedBytes: number,
  { codec, type }: ColumnMetaData,
  levels: Levels,
  unpack: Compressors,
): void {
  const open = (bytes: Uint8Array, length: number): Uint8Array => {
    if (codec === 'UNCOMPRESSED' || !page.packed || length === 0) return bytes;
    const own = unpack[codec];
    if (!own) throw new PageTrouble(`its pages are packed in a way that is not read (${codec})`);
    return own(bytes, length);
  };
  let reader: Reader;
  if (page.kind === DATA) {
    reader = new Reader(open(packed, unpackedBytes));
    for (const level of [levels.repetition, levels.definition]) {
      if (level === 0) continue;
      const length = reader.int32();
      checkRuns(new Reader(reader.take(length)), bits(level), page.values);
    }
  } else {
    const { repetitionBytes, definitionBytes } = page;
    const lead = repetitionBytes + definitionBytes;
    if (lead > packed.length || lead > unpackedBytes)
      throw new PageTrouble('its levels are longer than a page');
    if (levels.repetition > 0)
      checkRuns(new Reader(packed.subarray(0, repetitionBytes)), bits(levels.repetition), page.values);
    if (levels.definition > 0)
      checkRuns(new Reader(packed.subarray(repetitionBytes, lead)), bits(levels.definition), page.values);
    reader = new Reader(open(packed.subarray(lead), unpackedBytes - lead));
  }
  if (DICTIONARY_PLACES.includes(page.encoding) && reader.left > 0)
    checkRuns(reader, reader.byte(), page.values);
  else if (page.encoding === RUNS && reader.left > 0) {
    if (type === BOOLEAN) checkRuns(new Reader(reader.take(reader.int32())), 1, page.values);
    else checkRuns(reader, reader.byte(), page.values);
  }
}

/** Runs may end before `count`, since empty values have none. */
function checkRuns(reader: Reader, width: number, count: number): void {
  if (width > 32) throw new PageTrouble('its values are of too many bits');
  for (let seen = 0; seen < count && reader.left > 0;) {
    const head = reader.varint();
    const grouped = head % 2 === 1;
    const n = grouped ? Math.floor(head / 2) * 8 : Math.floor(head / 2);
    if (n > count - seen + PADDING) throw new PageTrouble('a run states more values than its page');
    // The last group may be cut where its page ends.
    const bytes = grouped ? Math.min((n / 8) * width, reader.left) : Math.ceil(width / 8);
    reader.skip(bytes);
    seen += n;
  }
}

const bits = (level: number): number => 32 - Math.clz32(level);

/** How deep the values of a column are wrapped in lists and in what may be missing. */
function levelsOf(path: readonly string[], schema: readonly SchemaElement[]): Levels {
  let at = 0;
  let definition = 0;
  let repetition = 0;
  const after = (i: number): number => {
    let next = i + 1;
    for (let k = 0; k < (schema[i]?.num_children ?? 0) && next < schema.length; k++) next = after(next);
    return next;
  };
  for (const name of path) {
    const children = schema[at]?.num_children ?? 0;
    let child = at + 1;
    for (let k = 0; k < children && schema[child]?.name !== name; k++) child = after(child);
    const element = schema[child];
    if (element?.name !== name) throw new PageTrouble('a column is not among those of the file');
    if (element.repetition_type !== 'REQUIRED') definition++;
    if (element.repetition_type === 'REPEATED') repetition++;
    at = child;
  }
  return { definition, repetition };
}

type Struct = ReadonlyMap<number, unknown>;

function int(struct: Struct, field: number): number {
  const value = struct.get(field);
  if (typeof value !== 'number' || value < 0) throw new PageTrouble('a page states no sound number');
  return value;
}

/** Bytes in turn, never beyond the end; Thrift's compact protocol as far as headers of pages use it. */
class Reader {
  readonly #bytes: Uint8Array;
  at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get left(): number {
    return this.#bytes.length - this.at;
  }

  skip(n: number): void {
    if (!(n >= 0 && n <= this.left)) throw new PageTrouble('a page is longer than its column');
    this.at += n;
  }

  take(n: number): Uint8Array {
    this.skip(n);
    return this.#bytes.subarray(this.at - n, this.at);
  }

  byte(): number {
    this.skip(1);
    return this.#bytes[this.at - 1];
  }

  int32(): number {
    const [a, b, c, d] = this.take(4);
    return a + b * 0x100 + c * 0x10000 + d * 0x1000000;
  }

  varint(): number {
    let value = 0;
    for (let scale = 1; ; scale *= 128) {
      const byte = this.byte();
      value += (byte % 128) * scale;
      if (byte < 128) return value;
      if (scale > 2 ** 56) throw new PageTrouble('a number has no end');
    }
  }

  zigzag(): number {
    const value = this.varint();
    return value % 2 === 1 ? -(value + 1) / 2 : value / 2;
  }

  struct(depth = 0): Map<number, unknown> {
    if (depth > 8) throw new PageTrouble('a header is nested without end');
    const fields = new Map<number, unknown>();
    for (let id = 0; ;) {
      const head = this.byte();
      if (head % 16 === 0) return fields;
      id = head >= 16 ? id + (head >> 4) : this.zigzag();
      fields.set(id, this.#value(head % 16, depth));
    }
  }

  #value(type: number, depth: number): unknown {
    if (type === 1 || type === 2) return type === 1;
    if (type === 3) return this.byte();
    if (type >= 4 && type <= 6) return this.zigzag();
    if (type === 7) return this.take(8);
    if (type === 8) return this.take(this.varint());
    if (type === 12) return this.struct(depth + 1);
    if (type !== 9) throw new PageTrouble('a header holds a field of an unknown type');
    const head = this.byte();
    const count = head >> 4 === 15 ? this.varint() : head >> 4;
    // Every entry takes a byte at least.
    if (count > this.left) throw new PageTrouble('a header states a list that is longer than itself');
    for (let i = 0; i < count; i++)
      this.#value(head % 16 === 1 || head % 16 === 2 ? 3 : head % 16, depth + 1);
    return null;
  }
}
