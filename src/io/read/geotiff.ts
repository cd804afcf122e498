/**
 * GeoTIFF and cloud-optimized GeoTIFF through the geotiff library, read by slices of a Source. Decoding is the library's;
 * what a value at a place is, is ours (domain/layers/sampling.ts).
 */
import { GeoTIFF, type GeoTIFFImage } from 'geotiff';
import { localFrame } from '../../domain/base/geodesy.ts';
import type { Box } from '../../domain/base/geo.ts';
import { fail, ok, type Note, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import { crsFrom, crsFromGeoKeys, type Crs } from '../crs.ts';
import type { Source } from '../source.ts';
import { BlockCache, levelOf, readBlock, type Cells, type Level } from './blocks.ts';
import {
  bilinearValue,
  countCircle,
  nearestValue,
  rawCell,
  reachOf,
  type Loaded,
  type Step,
} from './cells.ts';
import { adapted, ReadTrouble } from './geotiffSource.ts';
import { bandMetas, pixelTransform } from './geotiffTags.ts';
import type { Affine, BandMeta, Raster } from './raster.ts';
import type { Format, Opened, ReadOptions } from './types.ts';

const shared = new BlockCache();
let opened = 0;

export const geotiff: Format = {
  id: 'geotiff',
  title: 'GeoTIFF',
  extensions: ['tif', 'tiff', 'cog'],
  recognises(head) {
    const [a, b, c, d] = head;
    const little = a === 0x49 && b === 0x49 && (c === 42 || c === 43) && d === 0;
    const big = a === 0x4d && b === 0x4d && c === 0 && (d === 42 || d === 43);
    return little || big;
  },
  async read(source, options) {
    const raster = await openGeotiff(source, options);
    if (!raster.ok) return raster;
    const r = raster.value;
    const result: Opened = {
      file: source.name,
      format: 'GeoTIFF',
      content: { kind: 'raster', raster: r },
      crs: r.crs,
      extent: r.extent,
      count: r.bands.length,
      notes: r.notes,
    };
    return ok(result);
  },
};

export async function openGeotiff(
  source: Source,
  options: ReadOptions = {},
  cache = shared,
): Promise<Result<Raster>> {
  try {
    const tiff = await GeoTIFF.fromSource(adapted(source));
    const images: GeoTIFFImage[] = [];
    const count = await tiff.getImageCount();
    for (let i = 0; i < count; i++) images.push(await tiff.getImage(i));
    const [full] = images;
    const keys = full.getGeoKeys();
    const crs = options.crs ? crsFrom(options.crs, source.name) : crsFromGeoKeys(keys, source.name);
    if (!crs.ok) return crs;
    const transform = await pixelTransform(full);
    if (!transform)
      return fail(
        'crs',
        source.name,
        'does not say where its cells lie (no position in the file)',
        'Give a GeoTIFF with its georeference inside.',
      );
    const bands = await bandMetas(full);
    const ends = await lastByte(full);
    if (source.size !== null && ends > source.size) {
      return fail(
        'format',
        source.name,
        `is cut off: it has ${source.size} bytes of at least ${ends}`,
        'Get the file again.',
      );
    }
    const name = `${source.name}#${opened++}`;
    const levels = images
      .filter((image, i) => i === 0 || isOverview(image, full))
      .map((image, i) => levelOf(image, `${name}/${i}`))
      .sort((a, b) => b.width - a.width);
    return ok(new GeotiffRaster(source.name, name, levels, bands, crs.value, transform, cache));
  } catch (error) {
    return trouble(error, source.name);
  }
}

/** Where the file must reach at least: the end of the first and of the last block of its full image. */
async function lastByte(image: GeoTIFFImage): Promise<number> {
  const [offsets, counts] = image.isTiled
    ? (['TileOffsets', 'TileByteCounts'] as const)
    : (['StripOffsets', 'StripByteCounts'] as const);
  const planes = image.planarConfiguration === 2 ? image.getSamplesPerPixel() : 1;
  const blocks =
    Math.ceil(image.getWidth() / image.getTileWidth()) *
    Math.ceil(image.getHeight() / image.getTileHeight()) *
    planes;
  let end = 0;
  for (const i of [0, blocks - 1]) {
    const offset = Number((await image.fileDirectory.loadValueIndexed(offsets, i)) ?? 0);
    const count = Number((await image.fileDirectory.loadValueIndexed(counts, i)) ?? 0);
    end = Math.max(end, offset + count);
  }
  return end;
}

/** Overviews are marked by bit 0 of the subfile type, masks by bit 2 (TIFF 6.0). */
function isOverview(image: GeoTIFFImage, full: GeoTIFFImage): boolean {
  const type = Number(image.fileDirectory.getValue('NewSubfileType') ?? 0);
  return (type & 1) === 1 && (type & 4) === 0 && image.getSamplesPerPixel() === full.getSamplesPerPixel();
}

function trouble(error: unknown, file: string): Result<never> {
  if (error instanceof ReadTrouble) return { ok: false, failure: error.failure };
  const why = error instanceof Error ? error.message : String(error);
  if (/compression/i.test(why))
    return fail(
      'format',
      file,
      `is packed in a way that cannot be read (${why})`,
      'Write it again with deflate or LZW.',
    );
  return fail('format', file, `is damaged or not a whole GeoTIFF (${why})`, 'Get the file again.');
}

const SLICE_METRES_PROBE = 0.5;

class GeotiffRaster implements Raster {
  readonly width: number;
  readonly height: number;
  readonly bands: readonly BandMeta[];
  readonly crs: string;
  readonly transform: Affine;
  readonly extent: Box;
  readonly cellMetres: number;
  readonly notes: readonly Note[];
  #file: string;
  #key: string;
  #levels: readonly Level[];
  #crs: Crs;
  #cache: BlockCache;

  constructor(
    file: string,
    key: string,
    levels: readonly Level[],
    bands: readonly BandMeta[],
    crs: Crs,
    transform: Affine,
    cache: BlockCache,
  ) {
    this.#file = file;
    this.#key = key;
    this.#levels = levels;
    this.#crs = crs;
    this.#cache = cache;
    this.width = levels[0].width;
    this.height = levels[0].height;
    this.bands = bands;
    this.crs = crs.name;
    this.transform = transform;
    this.extent = this.#box();
    const step = this.#stepAt(this.width / 2, this.height / 2);
    this.cellMetres = Math.sqrt(Math.abs(step.colEast * step.rowNorth - step.colNorth * step.rowEast));
    this.notes = this.#implausible();
  }

  toPixel(lon: Float64Array, lat: Float64Array): { col: Float64Array; row: Float64Array } {
    const [a, b, c, d, e, f] = this.transform;
    const det = b * f - c * e;
    const col = new Float64Array(lon.length);
    const row = new Float64Array(lon.length);
    for (let i = 0; i < lon.length; i++) {
      const [x, y] = this.#crs.forward(lon[i], lat[i]);
      col[i] = (f * (x - a) - c * (y - d)) / det;
      row[i] = (b * (y - d) - e * (x - a)) / det;
    }
    return { col, row };
  }

  toPlace(col: Float64Array, row: Float64Array): { lon: Float64Array; lat: Float64Array } {
    const [a, b, c, d, e, f] = this.transform;
    const lon = new Float64Array(col.length);
    const lat = new Float64Array(col.length);
    for (let i = 0; i < col.length; i++) {
      [lon[i], lat[i]] = this.#crs.inverse(a + b * col[i] + c * row[i], d + e * col[i] + f * row[i]);
    }
    return { lon, lat };
  }

  sample(
    band: number,
    col: Float64Array,
    row: Float64Array,
    method: 'nearest' | 'bilinear',
    work?: Work,
  ): Promise<Result<Float64Array>> {
    const out = new Float64Array(col.length).fill(NaN);
    const value = method === 'nearest' ? nearestValue : bilinearValue;
    const margin = method === 'nearest' ? 0 : 1;
    return this.#over(band, col, row, margin, margin, out, work, (loaded, i) => {
      out[i] = value(loaded, col[i], row[i]);
    });
  }

  countWithin(
    band: number,
    col: Float64Array,
    row: Float64Array,
    metres: number,
    classOf: Uint8Array,
    classes: number,
    work?: Work,
  ): Promise<Result<Uint32Array>> {
    const out = new Uint32Array(col.length * classes);
    const centre = reachOf(this.#stepAt(this.width / 2, this.height / 2), metres);
    // Steps vary over a raster in degrees or Mercator; a quarter more is loaded than the middle needs.
    const cols = Math.ceil(centre.cols * 1.25) + 1;
    const rows = Math.ceil(centre.rows * 1.25) + 1;
    return this.#over(band, col, row, cols, rows, out, work, (loaded, i) => {
      countCircle(loaded, col[i], row[i], metres, this.#stepAt(col[i], row[i]), classOf, out, i * classes);
    });
  }

  window3(band: number, col: Float64Array, row: Float64Array, work?: Work): Promise<Result<Float64Array>> {
    const out = new Float64Array(col.length * 9).fill(NaN);
    return this.#over(band, col, row, 1, 1, out, work, (loaded, i) => {
      const { scale, offset } = loaded.meta;
      const c = Math.floor(col[i]);
      const r = Math.floor(row[i]);
      for (let k = 0; k < 9; k++)
        out[9 * i + k] = rawCell(loaded, c - 1 + (k % 3), r - 1 + Math.floor(k / 3)) * scale + offset;
    });
  }

  async picture(band: number, window: Box, width: number, height: number): Promise<Result<Float32Array>> {
    const [left, top, right, bottom] = window;
    const fine = Math.min((right - left) / width, (bottom - top) / height);
    // The coarsest image that is still at least as fine as what is asked for.
    const level =
      [...this.#levels].reverse().find((l) => this.width / l.width <= fine * 1.01) ?? this.#levels[0];
    const fx = level.width / this.width;
    const fy = level.height / this.height;
    const cols = Float64Array.from({ length: width }, (_, x) =>
      Math.floor((left + ((x + 0.5) * (right - left)) / width) * fx),
    );
    const rows = Float64Array.from({ length: height }, (_, y) =>
      Math.floor((top + ((y + 0.5) * (bottom - top)) / height) * fy),
    );
    const blocksX = new Set<number>();
    const blocksY = new Set<number>();
    for (const c of cols) if (c >= 0 && c < level.width) blocksX.add(Math.floor(c / level.blockWidth));
    for (const r of rows) if (r >= 0 && r < level.height) blocksY.add(Math.floor(r / level.blockHeight));
    const wanted: number[] = [];
    for (const y of blocksY) for (const x of blocksX) wanted.push(y * level.across + x);
    const blocks = await this.#load(level, band, wanted);
    if (!blocks.ok) return blocks;
    const loaded = { level, blocks: blocks.value, meta: this.bands[band - 1] };
    const { scale, offset } = loaded.meta;
    const out = new Float32Array(width * height);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) out[y * width + x] = rawCell(loaded, cols[x], rows[y]) * scale + offset;
    return ok(out);
  }

  heldBytes(): number {
    return this.#cache.bytesOf(`${this.#key}/`);
  }

  trim(): void {
    this.#cache.drop(`${this.#key}/`);
  }

  /**
   * Runs `each` over all positions inside the raster, with every block within `marginCols`, `marginRows` cells loaded.
   * Where the blocks of all positions together exceed the cache, positions are taken in runs of neighbouring rows.
   */
  async #over<T>(
    band: number,
    col: Float64Array,
    row: Float64Array,
    marginCols: number,
    marginRows: number,
    out: T,
    work: Work | undefined,
    each: (loaded: Loaded, i: number) => void,
  ): Promise<Result<T>> {
    const level = this.#levels[0];
    const meta = this.bands[band - 1];
    if (!meta) throw new Error(`no band ${band}`);
    const inside: number[] = [];
    for (let i = 0; i < col.length; i++)
      if (col[i] >= 0 && row[i] >= 0 && col[i] < this.width && row[i] < this.height) inside.push(i);
    const touches = (i: number, mark: (block: number) => void): void => {
      const x0 = Math.floor(Math.max(0, col[i] - marginCols) / level.blockWidth);
      const x1 = Math.floor(Math.min(level.width - 1, col[i] + marginCols) / level.blockWidth);
      const y0 = Math.floor(Math.max(0, row[i] - marginRows) / level.blockHeight);
      const y1 = Math.floor(Math.min(level.height - 1, row[i] + marginRows) / level.blockHeight);
      for (let y = y0; y <= y1; y++) for (let x = x0; x <= x1; x++) mark(y * level.across + x);
    };
    const blockBytes = level.blockWidth * level.blockHeight * 8;
    const mostBlocks = Math.max(4, Math.floor(this.#cache.budget / 2 / blockBytes));

    const all = marks(level, inside, touches);
    if (all.length <= mostBlocks) return this.#pass(level, band, meta, inside, all, out, work, each);
    // In the order of the rows, so that each block is loaded in one run only (or two, at the seams).
    const sorted = Int32Array.from(inside).sort(
      (a, b) =>
        Math.floor(row[a] / level.blockHeight) - Math.floor(row[b] / level.blockHeight) || col[a] - col[b],
    );
    let run: number[] = [];
    let seen = new Set<number>();
    for (const i of sorted) {
      const next = new Set(seen);
      touches(i, (b) => next.add(b));
      if (next.size > mostBlocks && run.length > 0) {
        const done = await this.#pass(level, band, meta, run, [...seen], out, work, each);
        if (!done.ok) return done;
        run = [];
        seen = new Set();
        touches(i, (b) => seen.add(b));
      } else seen = next;
      run.push(i);
    }
    return this.#pass(level, band, meta, run, [...seen], out, work, each);
  }

  async #pass<T>(
    level: Level,
    band: number,
    meta: BandMeta,
    rows: readonly number[],
    wanted: readonly number[],
    out: T,
    work: Work | undefined,
    each: (loaded: Loaded, i: number) => void,
  ): Promise<Result<T>> {
    const blocks = await this.#load(level, band, wanted, work);
    if (!blocks.ok) return blocks;
    const loaded = { level, blocks: blocks.value, meta };
    for (const i of rows) each(loaded, i);
    return ok(out);
  }

  /** Blocks by number. They stay with the caller even when the cache lets them go. */
  async #load(
    level: Level,
    band: number,
    wanted: readonly number[],
    work?: Work,
  ): Promise<Result<Array<Cells | undefined>>> {
    const blocks: Array<Cells | undefined> = new Array<Cells | undefined>(level.across * level.down);
    try {
      for (let k = 0; k < wanted.length; k++) {
        const block = wanted[k];
        blocks[block] = await readBlock(level, band - 1, block, this.#cache);
        if (k % 32 === 31) await work?.pause?.();
      }
      return ok(blocks);
    } catch (error) {
      if (error instanceof Error && error.name === 'Cancelled') throw error;
      return trouble(error, this.#file);
    }
  }

  /** By differences over one cell: right to 1e-6 for the grids of any projection in use here. */
  #stepAt(col: number, row: number): Step {
    const h = SLICE_METRES_PROBE;
    const { lon, lat } = this.toPlace(
      Float64Array.of(col - h, col + h, col, col),
      Float64Array.of(row, row, row - h, row + h),
    );
    const { lonMetres, latMetres } = localFrame((lat[0] + lat[1]) / 2);
    return {
      colEast: (lon[1] - lon[0]) * lonMetres,
      colNorth: (lat[1] - lat[0]) * latMetres,
      rowEast: (lon[3] - lon[2]) * lonMetres,
      rowNorth: (lat[3] - lat[2]) * latMetres,
    };
  }

  /** Around the outline, since a straight edge of a projected raster is a curve in degrees. */
  #box(): Box {
    const n = 32;
    const col: number[] = [];
    const row: number[] = [];
    for (let i = 0; i <= n; i++) {
      const x = (this.width * i) / n;
      const y = (this.height * i) / n;
      col.push(x, x, 0, this.width);
      row.push(0, this.height, y, y);
    }
    const { lon, lat } = this.toPlace(Float64Array.from(col), Float64Array.from(row));
    return [Math.min(...lon), Math.min(...lat), Math.max(...lon), Math.max(...lat)];
  }

  #implausible(): Note[] {
    const [west, south, east, north] = this.extent;
    const sane = west >= -181 && east <= 361 && south >= -90.01 && north <= 90.01;
    if (sane) return [];
    return [
      {
        where: this.#file,
        what: `lies at ${[west, south, east, north].map((x) => x.toFixed(2)).join(', ')} degrees, off the globe: its coordinate system (${this.crs}) is probably not the right one`,
      },
    ];
  }
}

function marks(
  level: Level,
  rows: readonly number[],
  touches: (i: number, mark: (block: number) => void) => void,
): number[] {
  const flag = new Uint8Array(level.across * level.down);
  for (const i of rows) touches(i, (b) => (flag[b] = 1));
  const list: number[] = [];
  flag.forEach((f, b) => {
    if (f) list.push(b);
  });
  return list;
}
