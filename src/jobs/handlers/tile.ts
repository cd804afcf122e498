/** Pictures of raster layers for the map: one Web-Mercator tile of 256 pixels at a time. */
import { ok, type Result } from '../../domain/base/result.ts';
import { legendPixels, relief, rgb, type ReliefStyle } from '../../domain/layers/relief.ts';
import type { Raster } from '../../io/read/raster.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk, OpenLayer } from './desk.ts';

export const TILE = 256;
const EARTH = 40_075_016.686;
/** Pixels between the places that are projected; positions between are linear, off by under a tenth of a pixel. */
const GRID = 16;

const RELIEF: Readonly<Record<'light' | 'dark', Pick<ReliefStyle, 'tint' | 'shade' | 'light' | 'strength'>>> =
  {
    light: {
      tint: ['#e9e7d6', '#efeada', '#f2ead9', '#ece0cb'].map(rgb),
      shade: rgb('#8b8a73'),
      light: rgb('#fffdf6'),
      strength: 0.62,
    },
    dark: {
      tint: ['#23281f', '#272b22', '#2d2f26', '#35342a'].map(rgb),
      shade: rgb('#0d100b'),
      light: rgb('#5d5f4d'),
      strength: 0.6,
    },
  };

type TileInput = Jobs['tile']['input'];

export async function tile(desk: Desk, input: TileInput): Promise<Result<ImageBitmap | null>> {
  const layer = desk.layers.get(input.layer);
  if (!layer) return ok(null);
  const pixels = await tilePixels(layer, input);
  if (!pixels.ok) return pixels;
  return ok(pixels.value ? await createImageBitmap(new ImageData(pixels.value, TILE, TILE)) : null);
}

/** RGBA of one tile; null where the raster has nothing in it. */
export async function tilePixels(
  layer: OpenLayer,
  { style, scheme, z, x, y }: Omit<TileInput, 'layer'>,
): Promise<Result<Uint8ClampedArray<ArrayBuffer> | null>> {
  if (layer.opened.content.kind !== 'raster' || !layer.range) return ok(null);
  const { raster } = layer.opened.content;
  const margin = style === 'relief' ? 1 : 0;
  const side = TILE + 2 * margin;
  const classes = layer.definition.sampling === 'nearest';
  const values = await mercatorValues(raster, layer.entry.band, z, x, y, margin, side, classes);
  if (!values.ok || values.value === null) return values.ok ? ok(null) : values;
  const { low, high } = layer.range;
  if (style === 'values') return ok(legendPixels(values.value, layer.definition.legend, low, high));
  // Mercator stretches towards the poles; the ground is that much smaller than the pixel says.
  const latitude = Math.atan(Math.sinh(Math.PI * (1 - (2 * (y + 0.5)) / 2 ** z)));
  const cell = (EARTH / (TILE * 2 ** z)) * Math.cos(latitude);
  // From afar slopes average out; a little more height keeps ridges readable.
  const exaggeration = 1 + Math.max(0, 13 - z) * 0.45;
  return ok(relief(values.value, TILE, TILE, cell, exaggeration, { ...RELIEF[scheme], low, high }));
}

/** Values at the pixel centres of a tile and `margin` pixels around it, row-major side x side; null when outside. */
async function mercatorValues(
  raster: Raster,
  band: number,
  z: number,
  x: number,
  y: number,
  margin: number,
  side: number,
  nearest: boolean,
): Promise<Result<Float32Array | null>> {
  const n = Math.ceil(side / GRID) + 1;
  const lon = new Float64Array(n * n);
  const lat = new Float64Array(n * n);
  const world = TILE * 2 ** z;
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const px = (x * TILE - margin + i * GRID + 0.5) / world;
      const py = (y * TILE - margin + j * GRID + 0.5) / world;
      lon[j * n + i] = px * 360 - 180;
      lat[j * n + i] = (Math.atan(Math.sinh(Math.PI * (1 - 2 * py))) * 180) / Math.PI;
    }
  }
  const { col, row } = raster.toPixel(lon, lat);
  const left = Math.max(-1, Math.floor(Math.min(...col)) - 1);
  const top = Math.max(-1, Math.floor(Math.min(...row)) - 1);
  const right = Math.min(raster.width + 1, Math.ceil(Math.max(...col)) + 1);
  const bottom = Math.min(raster.height + 1, Math.ceil(Math.max(...row)) + 1);
  if (!(right > left && bottom > top)) return ok(null);
  // Near the tile's own resolution: finer would alias, coarser would blur.
  const per = Math.max(1, (Math.max(...col) - Math.min(...col)) / side);
  const width = Math.max(1, Math.round((right - left) / per));
  const height = Math.max(1, Math.round((bottom - top) / per));
  const picture = await raster.picture(band, [left, top, right, bottom], width, height);
  if (!picture.ok) return picture;
  const cells = picture.value;
  const out = new Float32Array(side * side).fill(NaN);
  const fx = width / (right - left);
  const fy = height / (bottom - top);
  let any = false;
  for (let py = 0; py < side; py++) {
    const gy = py / GRID;
    const j = Math.floor(gy);
    const v = gy - j;
    for (let px = 0; px < side; px++) {
      const gx = px / GRID;
      const i = Math.floor(gx);
      const u = gx - i;
      const a = j * n + i;
      const mix = (q: Float64Array): number =>
        (1 - v) * ((1 - u) * q[a] + u * q[a + 1]) + v * ((1 - u) * q[a + n] + u * q[a + n + 1]);
      const value = pick(cells, width, height, (mix(col) - left) * fx, (mix(row) - top) * fy, nearest);
      if (value === value) any = true;
      out[py * side + px] = value;
    }
  }
  return ok(any ? out : null);
}

/** Nearest cell, or bilinear where all four cells have a value and the nearest one where they do not. */
function pick(
  cells: Float32Array,
  width: number,
  height: number,
  x: number,
  y: number,
  nearest: boolean,
): number {
  const c = Math.floor(x);
  const r = Math.floor(y);
  if (c < 0 || r < 0 || c >= width || r >= height) return NaN;
  const own = cells[r * width + c];
  if (nearest || own !== own) return own;
  const c0 = Math.min(width - 2, Math.max(0, Math.floor(x - 0.5)));
  const r0 = Math.min(height - 2, Math.max(0, Math.floor(y - 0.5)));
  if (width < 2 || height < 2) return own;
  const u = Math.min(1, Math.max(0, x - 0.5 - c0));
  const v = Math.min(1, Math.max(0, y - 0.5 - r0));
  const k = r0 * width + c0;
  const mixed =
    (1 - v) * ((1 - u) * cells[k] + u * cells[k + 1]) +
    v * ((1 - u) * cells[k + width] + u * cells[k + width + 1]);
  return mixed === mixed ? mixed : own;
}
