/**
 * A small writer of cloud-optimized GeoTIFF, so that the demo can be made anew with Node alone: tiles of 256, deflate in
 * plain JavaScript (the same bytes everywhere), predictor, overviews. Layout as in GDAL's COG driver documentation:
 * header, structural metadata, all IFDs from the full image to the smallest overview, then tile data from the smallest
 * overview to the full image, every tile with its size before it and its last four bytes repeated behind.
 */
import { zlibSync } from 'fflate';

export type Cells = Int16Array | Uint8Array | Float32Array;

export interface CogInput {
  readonly width: number;
  readonly height: number;
  readonly data: Cells;
  /** EPSG:5070 of the upper-left corner, and cell side, metres. */
  readonly left: number;
  readonly top: number;
  readonly cell: number;
  readonly nodata: number | null;
  readonly description: string;
  readonly unit: string;
  readonly scale?: number;
  readonly offset?: number;
  /** Colour of each code for a raster of classes, 0-255. */
  readonly palette?: ReadonlyMap<number, readonly [number, number, number]>;
  readonly overviews: 'average' | 'majority';
}

interface Level {
  readonly width: number;
  readonly height: number;
  readonly data: Cells;
}

const TILE = 256;
const TYPE_SIZE: Record<number, number> = { 1: 1, 2: 1, 3: 2, 4: 4, 12: 8 };
const text = (s: string): Uint8Array => new TextEncoder().encode(s);

function halve(level: Level, kind: 'average' | 'majority', nodata: number | null): Level {
  const width = Math.ceil(level.width / 2);
  const height = Math.ceil(level.height / 2);
  const data = level.data.slice(0, width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const four: number[] = [];
      for (let dy = 0; dy < 2; dy++)
        for (let dx = 0; dx < 2; dx++) {
          const sx = 2 * x + dx;
          const sy = 2 * y + dy;
          if (sx >= level.width || sy >= level.height) continue;
          const value = level.data[sy * level.width + sx];
          if (value !== nodata) four.push(value);
        }
      let out = nodata ?? 0;
      if (four.length && kind === 'average') {
        const mean = four.reduce((a, b) => a + b, 0) / four.length;
        out = data instanceof Float32Array ? mean : Math.round(mean);
      } else if (four.length) {
        let most = 0;
        for (const value of four) {
          const times = four.filter((o) => o === value).length;
          if (times > most) {
            most = times;
            out = value;
          }
        }
      }
      data[y * width + x] = out;
    }
  return { width, height, data };
}

/** Bytes of one tile, padded by repeating the last cell, after the predictor (2 for integers, 3 for floats; TIFF 6.0 and its technical note 3). */
function tileBytes(level: Level, tx: number, ty: number): Uint8Array {
  const tile =
    level.data.slice(0, 0).constructor === Float32Array
      ? new Float32Array(TILE * TILE)
      : level.data instanceof Int16Array
        ? new Int16Array(TILE * TILE)
        : new Uint8Array(TILE * TILE);
  for (let y = 0; y < TILE; y++) {
    const sy = Math.min(level.height - 1, ty * TILE + y);
    for (let x = 0; x < TILE; x++)
      tile[y * TILE + x] = level.data[sy * level.width + Math.min(level.width - 1, tx * TILE + x)]!;
  }
  if (tile instanceof Float32Array) {
    const view = new DataView(tile.buffer);
    const out = new Uint8Array(TILE * TILE * 4);
    for (let y = 0; y < TILE; y++) {
      const at = y * TILE * 4;
      for (let x = 0; x < TILE; x++)
        for (let b = 0; b < 4; b++) out[at + b * TILE + x] = view.getUint8(at + x * 4 + (3 - b));
      for (let i = TILE * 4 - 1; i > 0; i--) out[at + i] = (out[at + i] - out[at + i - 1]) & 255;
    }
    return out;
  }
  for (let y = 0; y < TILE; y++)
    for (let x = TILE - 1; x > 0; x--) tile[y * TILE + x] = tile[y * TILE + x] - tile[y * TILE + x - 1];
  return new Uint8Array(tile.buffer);
}

interface Tag {
  readonly tag: number;
  readonly type: 2 | 3 | 4 | 12;
  readonly values: readonly number[];
}
const ascii = (tag: number, s: string): Tag => ({ tag, type: 2, values: [...text(s), 0] });

function tagsOf(
  input: CogInput,
  level: Level,
  overview: boolean,
  offsets: readonly number[],
  counts: readonly number[],
): Tag[] {
  const bits = level.data.BYTES_PER_ELEMENT * 8;
  const tags: Tag[] = [
    { tag: 254, type: 4, values: [overview ? 1 : 0] },
    { tag: 256, type: 3, values: [level.width] },
    { tag: 257, type: 3, values: [level.height] },
    { tag: 258, type: 3, values: [bits] },
    { tag: 259, type: 3, values: [8] },
    { tag: 262, type: 3, values: [input.palette ? 3 : 1] },
    { tag: 277, type: 3, values: [1] },
    { tag: 284, type: 3, values: [1] },
    { tag: 317, type: 3, values: [level.data instanceof Float32Array ? 3 : 2] },
    { tag: 322, type: 3, values: [TILE] },
    { tag: 323, type: 3, values: [TILE] },
    { tag: 324, type: 4, values: offsets },
    { tag: 325, type: 4, values: counts },
    {
      tag: 339,
      type: 3,
      values: [level.data instanceof Float32Array ? 3 : level.data instanceof Int16Array ? 2 : 1],
    },
  ];
  if (input.palette) {
    const map = new Array<number>(768).fill(0);
    for (const [code, rgb] of input.palette) rgb.forEach((c, band) => (map[band * 256 + code] = c * 257));
    tags.push({ tag: 320, type: 3, values: map });
  }
  if (!overview) {
    const item = (name: string, role: string, value: string): string =>
      `<Item name="${name}" sample="0" role="${role}">${value}</Item>`;
    tags.push(
      ascii(270, 'Invented demonstration data. Not a survey of any real place.'),
      { tag: 33550, type: 12, values: [input.cell, input.cell, 0] },
      { tag: 33922, type: 12, values: [0, 0, 0, input.left, input.top, 0] },
      // GeoTIFF 1.1: projected, cell is area, EPSG:5070, metre.
      {
        tag: 34735,
        type: 3,
        values: [1, 1, 0, 4, 1024, 0, 1, 1, 1025, 0, 1, 1, 3072, 0, 1, 5070, 3076, 0, 1, 9001],
      },
      ascii(
        42112,
        '<GDALMetadata>' +
          item('DESCRIPTION', 'description', input.description) +
          (input.unit ? item('UNITTYPE', 'unittype', input.unit) : '') +
          (input.scale !== undefined
            ? item('OFFSET', 'offset', String(input.offset ?? 0)) +
              item('SCALE', 'scale', String(input.scale))
            : '') +
          '</GDALMetadata>',
      ),
    );
  }
  if (input.nodata !== null) tags.push(ascii(42113, String(input.nodata)));
  return tags.sort((a, b) => a.tag - b.tag);
}

const even = (n: number): number => n + (n & 1);
const ifdSize = (tags: readonly Tag[]): number =>
  2 +
  12 * tags.length +
  4 +
  tags.reduce(
    (sum, t) =>
      sum + (t.values.length * TYPE_SIZE[t.type] > 4 ? even(t.values.length * TYPE_SIZE[t.type]) : 0),
    0,
  );

function writeIfd(view: DataView, at: number, tags: readonly Tag[], next: number): void {
  view.setUint16(at, tags.length, true);
  let far = at + 2 + 12 * tags.length + 4;
  const put = (type: number, where: number, value: number): void => {
    if (type === 2) view.setUint8(where, value);
    else if (type === 3) view.setUint16(where, value, true);
    else if (type === 4) view.setUint32(where, value, true);
    else view.setFloat64(where, value, true);
  };
  tags.forEach((t, k) => {
    const entry = at + 2 + 12 * k;
    const size = TYPE_SIZE[t.type];
    view.setUint16(entry, t.tag, true);
    view.setUint16(entry + 2, t.type, true);
    view.setUint32(entry + 4, t.values.length, true);
    const outside = t.values.length * size > 4;
    if (outside) view.setUint32(entry + 8, far, true);
    const where = outside ? far : entry + 8;
    t.values.forEach((value, v) => put(t.type, where + v * size, value));
    if (outside) far += even(t.values.length * size);
  });
  view.setUint32(at + 2 + 12 * tags.length, next, true);
}

export function writeCog(input: CogInput): Uint8Array {
  const levels: Level[] = [input];
  for (let last = levels[0]; last.width > TILE || last.height > TILE; last = levels.at(-1)!)
    levels.push(halve(last, input.overviews, input.nodata));
  const tiles = levels.map((level) => {
    const list: Uint8Array[] = [];
    for (let ty = 0; ty * TILE < level.height; ty++)
      for (let tx = 0; tx * TILE < level.width; tx++)
        list.push(zlibSync(tileBytes(level, tx, ty), { level: 9 }));
    return list;
  });

  const body =
    'LAYOUT=IFDS_BEFORE_DATA\nBLOCK_ORDER=ROW_MAJOR\nBLOCK_LEADER=SIZE_AS_UINT4\nBLOCK_TRAILER=LAST_4_BYTES_REPEATED\nKNOWN_INCOMPATIBLE_EDITION=NO\n ';
  const ghost = text(`GDAL_STRUCTURAL_METADATA_SIZE=${String(body.length).padStart(6, '0')} bytes\n${body}`);
  const placeholder = levels.map((level, k) =>
    tagsOf(
      input,
      level,
      k > 0,
      tiles[k].map(() => 0),
      tiles[k].map(() => 0),
    ),
  );
  const ifdAt: number[] = [];
  let at = even(8 + ghost.length);
  for (const tags of placeholder) {
    ifdAt.push(at);
    at += ifdSize(tags);
  }
  const offsets = tiles.map((list) => list.map(() => 0));
  for (let k = levels.length - 1; k >= 0; k--)
    tiles[k].forEach((tile, t) => {
      offsets[k][t] = at + 4;
      at += 8 + tile.length;
    });

  const out = new Uint8Array(at);
  const view = new DataView(out.buffer);
  out.set([0x49, 0x49, 42, 0]);
  view.setUint32(4, ifdAt[0], true);
  out.set(ghost, 8);
  levels.forEach((level, k) => {
    const tags = tagsOf(
      input,
      level,
      k > 0,
      offsets[k],
      tiles[k].map((t) => t.length),
    );
    writeIfd(view, ifdAt[k], tags, ifdAt[k + 1] ?? 0);
    tiles[k].forEach((tile, t) => {
      const where = offsets[k][t];
      view.setUint32(where - 4, tile.length, true);
      out.set(tile, where);
      out.set(tile.subarray(tile.length - 4), where + tile.length);
    });
  });
  return out;
}
