/**
 * Sampling of an opened raster of any format: the format gives levels of blocks, what a value at a place is, is said here
 * (domain/layers/sampling.ts). Blocks are decoded first, then all positions are taken in loops without promises.
 */
import { localFrame } from '../../../domain/base/localFrame.ts';
import { reachOf, type Step } from '../../../domain/layers/cellStep.ts';
import type { Box } from '../../../domain/base/geo.ts';
import { ok, type Note, type Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Crs } from '../../crs/crs.ts';
import type { BlockCache, Cells } from './blocks.ts';
import { bilinearInto, cellsWithin, countCircle, nearestInto, rawCell, type Loaded } from './cells.ts';
import { trouble } from './trouble.ts';
import { blocksIn, partOf, type Level } from './levels.ts';
import { readBlock } from './readBlock.ts';
import { runsOf } from './runs.ts';
import { intoTurn } from './turn.ts';
import { windowInto } from './windowInto.ts';
import type { Affine, BandMeta, Raster } from './raster.ts';

/** Blocks asked for at once: enough to keep a slow host busy, few enough to hear a cancel. */
const AT_ONCE = 16;
/** Positions between two pauses. */
const POSITIONS = 200_000;

export class BlockRaster implements Raster {
  readonly width: number;
  readonly height: number;
  readonly bands: readonly BandMeta[];
  readonly crs: string;
  readonly system: Crs;
  readonly transform: Affine;
  readonly extent: Box;
  readonly cellMetres: number;
  readonly turn: number;
  readonly blockWidth: number;
  readonly blockHeight: number;
  notes: readonly Note[] = [];
  /** What it is read from, for rasters that are computed from its cells (derivedRaster.ts). */
  readonly levels: readonly Level[];
  readonly cache: BlockCache;
  #file: string;
  #key: string;

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
    this.levels = levels;
    this.system = crs;
    this.cache = cache;
    this.width = levels[0].width;
    this.height = levels[0].height;
    this.bands = bands;
    this.crs = crs.name;
    this.transform = transform;
    this.blockWidth = levels[0].blockWidth;
    this.blockHeight = levels[0].blockHeight;
    this.turn =
      crs.geographic && transform[2] === 0 && transform[4] === 0 && transform[1] > 0 ? 360 / transform[1] : 0;
    this.extent = this.#box();
    const step = this.#steps(Float64Array.of(this.width / 2), Float64Array.of(this.height / 2))(0);
    this.cellMetres = Math.sqrt(Math.abs(step.colEast * step.rowNorth - step.colNorth * step.rowEast));
  }

  toPixel(lon: Float64Array, lat: Float64Array): { col: Float64Array; row: Float64Array } {
    const [a, b, c, d, e, f] = this.transform;
    const det = b * f - c * e;
    const { x: col, y: row } = this.system.forward(lon, lat);
    for (let i = 0; i < col.length; i++) {
      const dx = col[i] - a;
      const dy = row[i] - d;
      col[i] = (f * dx - c * dy) / det;
      row[i] = (b * dy - e * dx) / det;
    }
    intoTurn(col, this.turn, this.width);
    return { col, row };
  }

  toPlace(col: Float64Array, row: Float64Array): { lon: Float64Array; lat: Float64Array } {
    const { lon, lat } = this.#place(col, row);
    if (this.system.geographic)
      for (let i = 0; i < lon.length; i++) if (lon[i] > 180 && lon[i] <= 361) lon[i] -= 360;
    return { lon, lat };
  }

  /** Degrees as the raster counts them: without a jump at the 180th meridian. */
  #place(col: Float64Array, row: Float64Array): { lon: Float64Array; lat: Float64Array } {
    const [a, b, c, d, e, f] = this.transform;
    const x = new Float64Array(col.length);
    const y = new Float64Array(col.length);
    for (let i = 0; i < col.length; i++) {
      x[i] = a + b * col[i] + c * row[i];
      y[i] = d + e * col[i] + f * row[i];
    }
    return this.system.inverse(x, y);
  }

  sample(
    band: number,
    col: Float64Array,
    row: Float64Array,
    method: 'nearest' | 'bilinear',
    work?: Work,
    step = 1,
  ): Promise<Result<Float64Array>> {
    const out = new Float64Array(col.length).fill(NaN);
    const near = method === 'nearest';
    const take = near ? nearestInto : bilinearInto;
    const reach = near ? 0 : 0.5;
    const level = this.#levelFor(step);
    const [x, y] =
      level === this.levels[0]
        ? [col, row]
        : [col.map((v) => (v * level.width) / this.width), row.map((v) => (v * level.height) / this.height)];
    return this.#over(
      band,
      x,
      y,
      () => reach,
      out,
      work,
      (loaded, rows) => take(loaded, rows, x, y, out),
      level,
    );
  }

  async cells(band: number, window: Box, out: Float64Array, work?: Work): Promise<Result<Float64Array>> {
    const level = this.levels[0];
    const meta = this.#band(band);
    const [left, top, right, bottom] = window;
    const whole = (block: number): boolean => {
      const part = partOf(level, block);
      return part.left >= left && part.top >= top && part.right <= right && part.bottom <= bottom;
    };
    const blocks = await this.#load(level, band, blocksIn(level, window), work, (block) => !whole(block));
    if (!blocks.ok) return blocks;
    windowInto({ level, ...blocks.value, meta }, window, out);
    return ok(out);
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
    const step = this.#steps(col, row);
    const reach = (i: number): number => {
      const { cols, rows } = reachOf(step(i), metres);
      return Math.max(cols, rows);
    };
    return this.#over(band, col, row, reach, out, work, (loaded, rows) => {
      for (const i of rows) countCircle(loaded, col[i], row[i], metres, step(i), classOf, out, i * classes);
    });
  }

  async cellsWithin(
    band: number,
    col: number,
    row: number,
    metres: number,
  ): Promise<Result<ReturnType<typeof cellsWithin>>> {
    const at = [Float64Array.of(col), Float64Array.of(row)] as const;
    const step = this.#steps(...at)(0);
    const { cols, rows } = reachOf(step, metres);
    let cells: ReturnType<typeof cellsWithin> = [];
    const read = await this.#over(
      band,
      ...at,
      () => Math.max(cols, rows),
      null,
      undefined,
      (loaded, inside) => {
        if (inside.length > 0) cells = cellsWithin(loaded, col, row, metres, step);
      },
    );
    return read.ok ? ok(cells) : read;
  }

  window3(band: number, col: Float64Array, row: Float64Array, work?: Work): Promise<Result<Float64Array>> {
    const out = new Float64Array(col.length * 9).fill(NaN);
    return this.#over(
      band,
      col,
      row,
      () => 1,
      out,
      work,
      (loaded, rows) => {
        const { scale, offset } = loaded.meta;
        for (const i of rows) {
          const c = Math.floor(col[i]);
          const r = Math.floor(row[i]);
          for (let k = 0; k < 9; k++)
            out[9 * i + k] = rawCell(loaded, c - 1 + (k % 3), r - 1 + Math.floor(k / 3)) * scale + offset;
        }
      },
    );
  }

  async picture(band: number, window: Box, width: number, height: number): Promise<Result<Float32Array>> {
    const meta = this.#band(band);
    const [left, top, right, bottom] = window;
    const fine = Math.min((right - left) / width, (bottom - top) / height);
    const level = this.#levelFor(fine);
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
    const loaded = { level, ...blocks.value, meta };
    const out = new Float32Array(width * height);
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++)
        out[y * width + x] = rawCell(loaded, cols[x], rows[y]) * meta.scale + meta.offset;
    return ok(out);
  }

  inUnit(factor: number, offset: number): BlockRaster {
    const bands = this.bands.map((b) => ({
      ...b,
      scale: factor * b.scale,
      offset: factor * b.offset + offset,
    }));
    const other = new BlockRaster(
      this.#file,
      this.#key,
      this.levels,
      bands,
      this.system,
      this.transform,
      this.cache,
    );
    other.notes = this.notes;
    return other;
  }

  heldBytes(): number {
    return this.cache.bytesOf(`${this.#key}/`);
  }

  trim(): void {
    this.cache.drop(`${this.#key}/`);
  }

  /** The coarsest image whose cells are at most `step` cells of the raster wide. */
  #levelFor(step: number): Level {
    return [...this.levels].reverse().find((l) => this.width / l.width <= step * 1.01) ?? this.levels[0];
  }

  #band(band: number): BandMeta {
    const meta = this.bands[band - 1];
    if (!meta) throw new Error(`no band ${band}`);
    return meta;
  }

  /**
   * Runs `each` over all positions inside the raster, with every block within `reach` cells loaded. Where the blocks of
   * all positions together exceed half the cache, positions are taken in runs of neighbouring rows.
   */
  async #over<T>(
    band: number,
    col: Float64Array,
    row: Float64Array,
    reach: (i: number) => number,
    out: T,
    work: Work | undefined,
    each: (loaded: Loaded, rows: Int32Array) => void,
    level = this.levels[0],
  ): Promise<Result<T>> {
    const meta = this.#band(band);
    const blockBytes =
      level.blockWidth * level.blockHeight * (level.cellBytes * level.together + (level.mask ? 1 : 0));
    const most = Math.max(4, Math.floor(this.cache.budget / 2 / blockBytes));
    for (const run of runsOf(level, col, row, reach, most)) {
      const blocks = await this.#load(level, band, run.blocks, work);
      if (!blocks.ok) return blocks;
      const loaded = { level, ...blocks.value, meta };
      for (let from = 0; from < run.rows.length; from += POSITIONS) {
        if (from > 0) await work?.pause?.();
        each(loaded, run.rows.subarray(from, from + POSITIONS));
      }
    }
    return ok(out);
  }

  /** Blocks by number. They stay with the caller even when the cache lets them go. */
  async #load(
    level: Level,
    band: number,
    wanted: ArrayLike<number>,
    work?: Work,
    keep: (block: number) => boolean = () => true,
  ): Promise<Result<Pick<Loaded, 'blocks' | 'masks'>>> {
    const { mask } = level;
    const count = level.across * level.down;
    const blocks = new Array<Cells | undefined>(count);
    const masks = mask ? new Array<Cells | undefined>(count) : null;
    const one = async (block: number): Promise<void> => {
      blocks[block] = await readBlock(level, band - 1, block, this.cache, keep(block));
      if (mask && masks) masks[block] = await readBlock(mask, 0, block, this.cache);
    };
    try {
      for (let k = 0; k < wanted.length; k += AT_ONCE) {
        if (k > 0) await work?.pause?.();
        const some = Array.from({ length: Math.min(AT_ONCE, wanted.length - k) }, (_, j) => wanted[k + j]);
        await Promise.all(some.map(one));
      }
      return ok({ blocks, masks });
    } catch (error) {
      return trouble(error, this.#file);
    }
  }

  /** Metres by one cell at each position, by differences over one cell: right to 1e-6 for the grids in use here. */
  #steps(col: Float64Array, row: Float64Array): (i: number) => Step {
    const shifted = (dc: number, dr: number) =>
      this.#place(
        col.map((x) => x + dc),
        row.map((y) => y + dr),
      );
    const west = shifted(-0.5, 0);
    const east = shifted(0.5, 0);
    const up = shifted(0, -0.5);
    const down = shifted(0, 0.5);
    return (i) => {
      const { lonMetres, latMetres } = localFrame((west.lat[i] + east.lat[i]) / 2);
      return {
        colEast: (east.lon[i] - west.lon[i]) * lonMetres,
        colNorth: (east.lat[i] - west.lat[i]) * latMetres,
        rowEast: (down.lon[i] - up.lon[i]) * lonMetres,
        rowNorth: (down.lat[i] - up.lat[i]) * latMetres,
      };
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
    const { lon, lat } = this.#place(Float64Array.from(col), Float64Array.from(row));
    const [lons, lats] = [lon, lat].map((v) => v.filter(Number.isFinite));
    const [west, south, east, north] = [
      Math.min(...lons),
      Math.min(...lats),
      Math.max(...lons),
      Math.max(...lats),
    ];
    if (!this.system.geographic || east <= 181) return [west, south, east, north];
    // Longitudes from 0 to 360: a part beyond the 180th meridian is one in the west, the whole earth is the whole earth.
    if (west >= 179 && east <= 361) return [west - 360, south, east - 360, north];
    return east - west > 359 && east <= 361 ? [-180, south, 180, north] : [west, south, east, north];
  }
}
