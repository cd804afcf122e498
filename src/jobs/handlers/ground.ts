/** Elevation, slope and ground cover at places, from rasters asked in order until one has a value. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { GROUNDS, groundShares, groundTable, isNlcd } from '../../domain/layers/landcover.ts';
import { slopeDegrees } from '../../domain/layers/terrain.ts';
import type { Measures } from '../../domain/vetting/vetting.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { OpenLayer } from './desk.ts';

export type Relief = Pick<Measures, 'elevation' | 'slope'>;
export type Cover = Pick<Measures, 'cover' | 'ground' | 'developed100' | 'developed500' | 'forest100'>;

const unknown = (n: number): Float64Array => new Float64Array(n).fill(NaN);

interface Pixels {
  readonly raster: Raster;
  readonly band: number;
  /** Rows of the places that are asked for. */
  readonly rows: Int32Array;
  readonly col: Float64Array;
  readonly row: Float64Array;
}

/** Pixel positions, in one layer, of the places that are still open; null where the layer is no raster or none is open. */
export function pixelsOf(
  layer: OpenLayer,
  lon: Float64Array,
  lat: Float64Array,
  open: (i: number) => boolean,
): Pixels | null {
  if (layer.opened.content.kind !== 'raster') return null;
  const { raster } = layer.opened.content;
  const rows = Int32Array.from(lon.keys()).filter(open);
  if (rows.length === 0) return null;
  const all = rows.length === lon.length;
  const { col, row } = raster.toPixel(
    all ? lon : Float64Array.from(rows, (i) => lon[i]),
    all ? lat : Float64Array.from(rows, (i) => lat[i]),
  );
  return { raster, band: layer.entry.band, rows, col, row };
}

/** Elevation in metres, and slope in degrees (Horn 1981) from cells of the same raster. */
export async function reliefAt(
  layers: readonly OpenLayer[],
  lon: Float64Array,
  lat: Float64Array,
  work: Work,
): Promise<Result<Relief>> {
  const elevation = unknown(lon.length);
  const slope = unknown(lon.length);
  for (const layer of layers) {
    const at = pixelsOf(layer, lon, lat, (i) => Number.isNaN(elevation[i]));
    if (!at) continue;
    const heights = await at.raster.sample(at.band, at.col, at.row, 'bilinear', work);
    if (!heights.ok) return heights;
    const windows = await at.raster.window3(at.band, at.col, at.row, work);
    if (!windows.ok) return windows;
    const cell = at.raster.cellMetres;
    at.rows.forEach((i, k) => {
      elevation[i] = heights.value[k];
      slope[i] = Number.isNaN(heights.value[k]) ? NaN : slopeDegrees(windows.value, 9 * k, cell, cell);
    });
  }
  return ok({ elevation, slope });
}

/**
 * Ground at places and around them. A value that counts as nothing (a mark of nothing, or one of a legend that nobody has
 * explained) leaves the place to the next raster.
 */
export async function coverAt(
  layers: readonly OpenLayer[],
  lon: Float64Array,
  lat: Float64Array,
  work: Work,
): Promise<Result<Cover>> {
  const n = lon.length;
  const out = {
    cover: unknown(n),
    ground: new Int8Array(n).fill(-1),
    developed100: unknown(n),
    developed500: unknown(n),
    forest100: unknown(n),
  };
  for (const layer of layers) {
    const at = pixelsOf(layer, lon, lat, (i) => out.ground[i] < 0);
    if (!at) continue;
    const { raster, band, rows, col, row } = at;
    const table = groundsOf(layer);
    const cover = await raster.sample(band, col, row, 'nearest', work);
    if (!cover.ok) return cover;
    const near = await raster.countWithin(band, col, row, 100, table, GROUNDS.length, work);
    if (!near.ok) return near;
    const wide = await raster.countWithin(band, col, row, 500, table, GROUNDS.length, work);
    if (!wide.ok) return wide;
    const within100 = groundShares(near.value);
    const within500 = groundShares(wide.value);
    rows.forEach((i, k) => {
      const ground = table[cover.value[k]] ?? NOTHING;
      // What an earlier raster said without a kind of ground stands until one with a kind is found.
      if (ground === NOTHING && !Number.isNaN(out.cover[i])) return;
      out.cover[i] = cover.value[k];
      out.ground[i] = ground === NOTHING ? -1 : ground;
      out.developed100[i] = within100.developed[k];
      out.developed500[i] = within500.developed[k];
      out.forest100[i] = within100.forest[k];
    });
  }
  return ok(out);
}

export const NOTHING = 255;

/** Kinds of ground by value: what the entry says, else the NLCD legend where the raster's values are of it. */
export const groundsOf = ({ entry, figures, opened }: OpenLayer): Uint8Array =>
  groundTable(entry.classes, isNlcd(figures ? figures.classes : [], opened.classes));
