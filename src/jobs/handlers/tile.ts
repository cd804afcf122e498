/** Pictures of raster layers for the map: one Web-Mercator tile of 256 pixels at a time. */
import { ok, type Result } from '../../domain/base/result.ts';
import { cellValue, type Kernel } from '../../domain/layers/cellValue.ts';
import { legendPixels, relief, rgb, type ReliefStyle } from '../../domain/layers/relief.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk, OpenLayer } from './desk.ts';
import { mercatorLatitude, pixelMetres, pixelPlaces, TILE } from './mercator.ts';

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

/**
 * How much higher than it is the ground is drawn. From afar slopes average out, so it grows by 0.45 a zoom level below 13;
 * and the less there is between low and high ground of the whole raster (metres), the more, up to threefold: the draws
 * of gently rolling land are to be seen, and mountains are not to turn black. Chosen by eye.
 */
export const exaggerationOf = (z: number, range: number): number =>
  (2 + 0.45 * Math.max(0, 13 - z)) * Math.min(3, Math.max(1, 800 / range));

/** RGBA of one tile; null where the raster has nothing in it. */
export async function tilePixels(
  layer: OpenLayer,
  { style, scheme, z, x, y }: Omit<TileInput, 'layer'>,
): Promise<Result<Uint8ClampedArray<ArrayBuffer> | null>> {
  if (layer.opened.content.kind !== 'raster' || !layer.figures) return ok(null);
  const { raster } = layer.opened.content;
  const margin = style === 'relief' ? 1 : 0;
  const kernel =
    layer.definition.sampling === 'nearest' ? 'nearest' : style === 'relief' ? 'spline' : 'bilinear';
  const values = await mercatorValues(raster, layer.entry.band, { z, x, y }, margin, kernel);
  if (!values.ok || values.value === null) return values.ok ? ok(null) : values;
  const { low, high } = layer.figures;
  if (style === 'values') return ok(legendPixels(values.value, layer.definition.legend, low, high));
  const cell = pixelMetres(z, mercatorLatitude((y + 0.5) / 2 ** z));
  const exaggeration = exaggerationOf(z, high - low);
  return ok(relief(values.value, TILE, TILE, cell, exaggeration, { ...RELIEF[scheme], low, high }));
}

/**
 * Values at the pixel centres of a tile and `margin` pixels around it, row-major side x side; null when outside.
 * Cells are read at a power of two of the raster's own size, from a window that is a multiple of it: an overview is then
 * taken cell by cell, and neighbouring tiles are made of the same cells, so that no seam shows.
 */
async function mercatorValues(
  raster: Raster,
  band: number,
  { z, x, y }: { z: number; x: number; y: number },
  margin: number,
  kernel: Kernel,
): Promise<Result<Float32Array | null>> {
  const side = TILE + 2 * margin;
  const places = pixelPlaces(raster, z, x * TILE - margin, y * TILE - margin, side);
  const [minCol, maxCol] = span(places.col);
  const [minRow, maxRow] = span(places.row);
  const per = Math.min((maxCol - minCol) / side, (maxRow - minRow) / side);
  const step = per < 2 ? 1 : 2 ** Math.floor(Math.log2(per));
  const down = (v: number): number => (Math.floor(v / step) - REACH) * step;
  const up = (v: number): number => (Math.ceil(v / step) + REACH) * step;
  const left = Math.max(down(0), down(minCol));
  const top = Math.max(down(0), down(minRow));
  const right = Math.min(up(raster.width), up(maxCol));
  const bottom = Math.min(up(raster.height), up(maxRow));
  // Also where no pixel of the tile has a place in the raster's coordinate system (all NaN).
  if (!(right > left && bottom > top)) return ok(null);
  const width = (right - left) / step;
  const height = (bottom - top) / step;
  const picture = await raster.picture(band, [left, top, right, bottom], width, height);
  if (!picture.ok) return picture;
  const out = new Float32Array(side * side);
  let any = false;
  for (let i = 0; i < out.length; i++) {
    const col = (places.col[i] - left) / step;
    const row = (places.row[i] - top) / step;
    out[i] = cellValue(picture.value, width, height, col, row, kernel);
    if (out[i] === out[i]) any = true;
  }
  return ok(any ? out : null);
}

/** Cells read around the tile, for the kernels: a spline reaches two. */
const REACH = 2;

/** Least and most of the numbers that are finite; [Infinity, -Infinity] when none is. */
function span(values: Float64Array): [number, number] {
  let least = Infinity;
  let most = -Infinity;
  for (const v of values) {
    if (!Number.isFinite(v)) continue;
    if (v < least) least = v;
    if (v > most) most = v;
  }
  return [least, most];
}
