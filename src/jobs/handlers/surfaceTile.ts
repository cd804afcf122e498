/** Tiles of the match surface for the map: values at the pixel centres, the match of each, its colour. */
import { ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { rampColour, rgb } from '../../domain/layers/relief.ts';
import { matchRamp } from '../../domain/vetting/match/matchRamp.ts';
import { surfaceKernel } from '../../domain/vetting/match/surface.ts';
import type { SurfaceSpec } from '../../domain/vetting/match/types.ts';
import type { Jobs } from '../protocol.ts';
import type { Desk } from './desk.ts';
import { pixelMetres, pixelPlaces, TILE } from './mercator.ts';
import { anyInside, type Positions } from './positions.ts';
import { Recent } from './recent.ts';
import { surfaceRasters, type SurfaceRaster } from './surfaceRasters.ts';

type TileInput = Jobs['surfaceTile']['input'];
type TilePlace = Pick<TileInput, 'z' | 'x' | 'y'>;

/** Bytes of values kept, so that another site, threshold or scheme reads nothing: 250 layers' tiles. */
const KEPT = 64 * 1024 * 1024;

export async function surfaceTile(
  desk: Desk,
  input: TileInput,
  work: Work = {},
): Promise<Result<ImageBitmap | null>> {
  const pixels = await surfacePixels(desk, input, work);
  if (!pixels.ok) return pixels;
  return ok(pixels.value ? await createImageBitmap(new ImageData(pixels.value, TILE, TILE)) : null);
}

/**
 * RGBA of one tile: clear where a variable has no value or the match is under `least`; null where that is all of it.
 * Failure 'variables': a variable whose layer is not open.
 */
export async function surfacePixels(
  desk: Desk,
  { spec, scheme, least, z, x, y }: TileInput,
  work: Work = {},
): Promise<Result<Uint8ClampedArray<ArrayBuffer> | null>> {
  const match = await surfaceMatch(desk, spec, { z, x, y }, work);
  if (!match.ok || match.value === null) return match.ok ? ok(null) : match;
  return ok(coloured(match.value, scheme, least));
}

/** The match at the pixel centres of a tile, row by row, NaN where there is none; null where there is none in all of it. */
export async function surfaceMatch(
  desk: Desk,
  spec: SurfaceSpec,
  place: TilePlace,
  work: Work = {},
): Promise<Result<Float32Array | null>> {
  const rasters = surfaceRasters(desk, spec);
  if (!rasters.ok) return rasters;
  const values = await tileValues(desk, rasters.value, place, work);
  if (!values.ok || values.value === null) return values.ok ? ok(null) : values;
  // The kernel writes logarithms into the columns that it is given.
  const columns = values.value.map((column, v) =>
    spec.variables[v].transform === 'identity' ? column : column.slice(),
  );
  const match = new Float32Array(TILE * TILE);
  surfaceKernel(spec)(columns, match);
  return ok(match);
}

/** Values of each variable at the pixel centres; null as soon as one of them has none in the tile: the rest is not read. */
async function tileValues(
  desk: Desk,
  rasters: readonly SurfaceRaster[],
  { z, x, y }: TilePlace,
  work: Work,
): Promise<Result<readonly Float32Array[] | null>> {
  const kept = valuesKept(desk);
  const keyOf = ({ layer }: SurfaceRaster): string => `${z}/${x}/${y}/${layer}`;
  const held = rasters.map((r) => kept.get(keyOf(r)));
  if (held.includes(null)) return ok(null);
  // All positions before any value: they cost little, and tell of most layers that end before the tile.
  const positions = new Map<SurfaceRaster['like'], Positions>();
  for (const [v, { like }] of rasters.entries()) {
    if (held[v] || positions.has(like)) continue;
    const places = pixelPlaces(like, z, x * TILE, y * TILE, TILE);
    if (!anyInside(like, places)) {
      kept.set(keyOf(rasters[v]), null);
      return ok(null);
    }
    positions.set(like, places);
  }
  const columns: Float32Array[] = [];
  for (const [v, { raster, band, like }] of rasters.entries()) {
    const places = positions.get(like);
    let column = held[v];
    if (!column && places) {
      await work.pause?.();
      const { col, row } = places;
      const read = await raster.sample(band, col, row, 'bilinear', work, cellsAPixel(raster, z));
      if (!read.ok) return read;
      column = read.value.some((value) => value === value) ? Float32Array.from(read.value) : null;
      kept.set(keyOf(rasters[v]), column);
    }
    if (!column) return ok(null);
    columns.push(column);
  }
  return ok(columns);
}

/** Of the whole raster alike, so that neighbouring tiles are read from the same overview and no seam shows. */
function cellsAPixel({ extent: [, south, , north], cellMetres }: SurfaceRaster['raster'], z: number): number {
  return pixelMetres(z, (south + north) / 2) / cellMetres;
}

/** On the desk until a layer is opened or closed; what is still read of the old ones then goes where nobody looks. */
function valuesKept(desk: Desk): Recent<string, Float32Array> {
  const memo = 'surface values';
  const held = desk.memo.get(memo) as Recent<string, Float32Array> | undefined;
  if (held) return held;
  const made = new Recent<string, Float32Array>(KEPT);
  desk.memo.set(memo, made);
  return made;
}

/** Steps of the ramp: finer than a screen shows. */
const STEPS = 1023;

function coloured(
  match: Float32Array,
  scheme: 'light' | 'dark',
  least: number,
): Uint8ClampedArray<ArrayBuffer> | null {
  const ramp = matchRamp(scheme).map(rgb);
  const colours = new Uint32Array(STEPS + 1);
  const bytes = new Uint8ClampedArray(colours.buffer);
  for (let i = 0; i <= STEPS; i++) bytes.set([...rampColour(ramp, i / STEPS), 255], 4 * i);
  const out = new Uint32Array(match.length);
  let any = false;
  for (let i = 0; i < match.length; i++) {
    const m = match[i];
    if (!(m >= least)) continue;
    out[i] = colours[Math.round(m * STEPS)];
    any = true;
  }
  return any ? new Uint8ClampedArray(out.buffer) : null;
}
