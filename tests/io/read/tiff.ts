/** Writes small GeoTIFF files in memory for tests: little-endian, not packed, one band, strips or tiles. */
export interface TiffOptions {
  readonly width: number;
  readonly height: number;
  /** Row-major. */
  readonly values: ArrayLike<number>;
  readonly type?: 'Float32' | 'Int16' | 'UInt8';
  readonly nodata?: string;
  readonly metadata?: string;
  /** Cells along a side of a tile (a multiple of 16 by the standard); strips of one row where not given. */
  readonly tile?: number;
  /** Rows of a strip where there are no tiles; 1 where not given. */
  readonly strip?: number;
  /** West edge, north edge, cell width, cell height. */
  readonly place?: readonly [number, number, number, number] | null;
  /** Keys and values of the GeoKey directory (short values only). */
  readonly keys?: Readonly<Record<number, number>>;
}

const TYPES = { Float32: [3, 4], Int16: [2, 2], UInt8: [1, 1] } as const;

/** EPSG:32616, metres. */
const UTM16 = { 1024: 1, 1025: 1, 3072: 32616 };

export function tiff(options: TiffOptions): Uint8Array {
  const {
    width,
    height,
    values,
    type = 'Float32',
    nodata,
    metadata,
    tile,
    strip = 1,
    keys = UTM16,
  } = options;
  const place = options.place === undefined ? ([600_000, 4_200_000, 10, 10] as const) : options.place;
  const [format, bytes] = TYPES[type];
  const side = tile ?? 0;
  const across = tile ? Math.ceil(width / side) : 1;
  const down = Math.ceil(height / (tile ? side : strip));
  const pieces: Uint8Array[] = [];
  for (let y = 0; y < down; y++)
    for (let x = 0; x < across; x++) {
      const w = tile ? side : width;
      const h = tile ? side : Math.min(strip, height - y * strip);
      const piece = new DataView(new ArrayBuffer(w * h * bytes));
      for (let r = 0; r < h; r++)
        for (let c = 0; c < w; c++) {
          const value = Number(
            values[
              Math.min(height - 1, y * (tile ? side : strip) + r) * width + Math.min(width - 1, x * w + c)
            ],
          );
          const at = (r * w + c) * bytes;
          if (type === 'Float32') piece.setFloat32(at, value, true);
          else if (type === 'Int16') piece.setInt16(at, value, true);
          else piece.setUint8(at, value);
        }
      pieces.push(new Uint8Array(piece.buffer));
    }

  const text = (s: string): number[] => [...new TextEncoder().encode(`${s}\0`)];
  const short = (...n: number[]): number[] => n.flatMap((v) => [v & 255, v >> 8]);
  const long = (...n: number[]): number[] => [...new Uint8Array(Uint32Array.from(n).buffer)];
  const double = (...n: number[]): number[] => [...new Uint8Array(Float64Array.from(n).buffer)];
  const directory = Object.entries(keys).flatMap(([key, value]) => [Number(key), 0, 1, value]);
  const tags: Array<[tag: number, type: number, count: number, bytes: number[]]> = [
    [256, 4, 1, long(width)],
    [257, 4, 1, long(height)],
    [258, 3, 1, short(bytes * 8)],
    [259, 3, 1, short(1)],
    [262, 3, 1, short(1)],
    [277, 3, 1, short(1)],
    [339, 3, 1, short(format)],
    ...(tile
      ? ([
          [322, 4, 1, long(side)],
          [323, 4, 1, long(side)],
        ] as typeof tags)
      : ([[278, 4, 1, long(strip)]] as typeof tags)),
    ...(place
      ? ([
          [33550, 12, 3, double(place[2], place[3], 0)],
          [33922, 12, 6, double(0, 0, 0, place[0], place[1], 0)],
        ] as typeof tags)
      : []),
    [34735, 3, 4 + directory.length, short(1, 1, 0, directory.length / 4, ...directory)],
    ...(nodata === undefined ? [] : ([[42113, 2, text(nodata).length, text(nodata)]] as typeof tags)),
    ...(metadata === undefined ? [] : ([[42112, 2, text(metadata).length, text(metadata)]] as typeof tags)),
  ];
  const n = pieces.length;
  const [offsets, counts] = tile ? [324, 325] : [273, 279];
  tags.push(
    [counts, 4, n, long(...pieces.map((p) => p.length))],
    [offsets, 4, n, long(...pieces.map(() => 0))],
  );
  tags.sort((a, b) => a[0] - b[0]);

  const header = 8 + 2 + tags.length * 12 + 4;
  let end = header;
  const places = tags.map(([, , , data]) => {
    if (data.length <= 4) return null;
    const at = end;
    end += data.length + (data.length % 2);
    return at;
  });
  const starts = pieces.map((p) => {
    const at = end;
    end += p.length;
    return at;
  });
  const file = new Uint8Array(end);
  const view = new DataView(file.buffer);
  file.set([0x49, 0x49, 42, 0, 8, 0, 0, 0]);
  view.setUint16(8, tags.length, true);
  tags.forEach(([tag, kind, count, data], i) => {
    const at = 10 + i * 12;
    const bytesOf = tag === offsets ? long(...starts) : data;
    view.setUint16(at, tag, true);
    view.setUint16(at + 2, kind, true);
    view.setUint32(at + 4, count, true);
    const where = places[i];
    if (where === null) file.set(bytesOf, at + 8);
    else {
      view.setUint32(at + 8, where, true);
      file.set(bytesOf, where);
    }
  });
  pieces.forEach((p, i) => file.set(p, starts[i]));
  return file;
}
