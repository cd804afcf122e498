/**
 * Cloud-optimized GeoTIFF for the demo, so that it can be made anew with Node alone: tiles of 256, deflate in plain
 * JavaScript (the same bytes everywhere), predictor, overviews of whole numbers and classes. The layout is the app's.
 */
import { block, geotiffLayout, type Tag } from '../../src/io/write/geotiffLayout.ts';
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

const short = (tag: number, ...values: number[]): Tag => ({ tag, type: 'short', values });
const ascii = (tag: number, values: string): Tag => ({ tag, type: 'ascii', values });

function tagsOf(input: CogInput, level: Level, overview: boolean): Tag[] {
  const float = level.data instanceof Float32Array;
  const tags: Tag[] = [
    { tag: 254, type: 'long', values: [overview ? 1 : 0] },
    short(256, level.width),
    short(257, level.height),
    short(258, level.data.BYTES_PER_ELEMENT * 8),
    short(259, 8),
    short(262, input.palette ? 3 : 1),
    short(277, 1),
    short(284, 1),
    short(317, float ? 3 : 2),
    short(322, TILE),
    short(323, TILE),
    short(339, float ? 3 : level.data instanceof Int16Array ? 2 : 1),
  ];
  if (input.palette) {
    const map = new Array<number>(768).fill(0);
    for (const [code, rgb] of input.palette) rgb.forEach((c, band) => (map[band * 256 + code] = c * 257));
    tags.push(short(320, ...map));
  }
  if (!overview) {
    const item = (name: string, role: string, value: string): string =>
      `<Item name="${name}" sample="0" role="${role}">${value}</Item>`;
    tags.push(
      ascii(270, 'Invented demonstration data. Not a survey of any real place.'),
      { tag: 33550, type: 'double', values: [input.cell, input.cell, 0] },
      { tag: 33922, type: 'double', values: [0, 0, 0, input.left, input.top, 0] },
      // GeoTIFF 1.1: projected, cell is area, EPSG:5070, metre.
      {
        tag: 34735,
        type: 'short',
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
  return tags;
}

export function writeCog(input: CogInput): Uint8Array {
  const levels: Level[] = [input];
  for (let last = levels[0]; last.width > TILE || last.height > TILE; last = levels.at(-1)!)
    levels.push(halve(last, input.overviews, input.nodata));
  const pieces = geotiffLayout(
    levels.map((level, k) => {
      const blocks: Uint8Array<ArrayBuffer>[] = [];
      for (let ty = 0; ty * TILE < level.height; ty++)
        for (let tx = 0; tx * TILE < level.width; tx++)
          blocks.push(block(zlibSync(tileBytes(level, tx, ty), { level: 9 })));
      return { tags: tagsOf(input, level, k > 0), blocks };
    }),
  );
  const out = new Uint8Array(pieces.reduce((sum, p) => sum + p.length, 0));
  let at = 0;
  for (const piece of pieces) {
    out.set(piece, at);
    at += piece.length;
  }
  return out;
}
