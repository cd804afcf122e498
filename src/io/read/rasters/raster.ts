/** A raster opened for sampling: the one face that vetting, the map and the CLI see. Made of levels (levels.ts) by blockRaster.ts. */
import type { Box } from '../../../domain/base/geo.ts';
import type { Note, Result } from '../../../domain/base/result.ts';
import type { Work } from '../../../domain/base/work.ts';
import type { Crs } from '../../crs/crs.ts';

/** Pixel to CRS: x = a + col*b + row*c, y = d + col*e + row*f, for the pixel's upper-left corner (GDAL order). */
export type Affine = readonly [number, number, number, number, number, number];

export interface BandMeta {
  readonly nodata: number | null;
  readonly scale: number;
  readonly offset: number;
  readonly dtype: string;
  readonly description: string;
}

export interface Raster {
  readonly width: number;
  readonly height: number;
  readonly bands: readonly BandMeta[];
  /** As shown to the user: "EPSG:5070" or a name. */
  readonly crs: string;
  readonly system: Crs;
  readonly transform: Affine;
  /** WGS 84 degrees. */
  readonly extent: Box;
  /** Cell size in metres at the raster's centre (geometric mean of both sides). */
  readonly cellMetres: number;
  /** Cells of a full turn round the earth where columns run along parallels, else 0 (turn.ts). */
  readonly turn: number;
  /** Cells that are decoded together: windows in steps of these read each block once. */
  readonly blockWidth: number;
  readonly blockHeight: number;
  readonly notes: readonly Note[];

  /** lon, lat (degrees) to fractional pixel column, row (0,0 = upper-left corner of the first cell). */
  toPixel(lon: Float64Array, lat: Float64Array): { col: Float64Array; row: Float64Array };
  /** Fractional pixel column, row to lon, lat. */
  toPlace(col: Float64Array, row: Float64Array): { lon: Float64Array; lat: Float64Array };

  /**
   * Values at pixel positions, scale and offset applied, NaN where missing (methods, environmental match). 1-based band.
   * @param step from 2 on, the coarsest overview is read whose cells are at most so many cells of the raster wide.
   */
  sample(
    band: number,
    col: Float64Array,
    row: Float64Array,
    method: 'nearest' | 'bilinear',
    work?: Work,
    step?: number,
  ): Promise<Result<Float64Array>>;

  /**
   * Values of all cells of a window inside the raster, row-major: the same as sample gives at their centres. For one pass
   * over a raster: blocks that lie in the window as a whole are not kept.
   * @param out as long as the window has cells; what is given back.
   */
  cells(band: number, window: Box, out: Float64Array, work?: Work): Promise<Result<Float64Array>>;

  /**
   * For each position: how many cells have their centre within `metres`, by class.
   * `classOf[code]` gives a class index (0..classes-1) for codes 0-255, 255 = leave out; missing cells are left out.
   * Returns counts row-major n x classes.
   */
  countWithin(
    band: number,
    col: Float64Array,
    row: Float64Array,
    metres: number,
    classOf: Uint8Array,
    classes: number,
    work?: Work,
  ): Promise<Result<Uint32Array>>;

  /** The cells that countWithin counts about one position, each with its code (NaN missing), row by row. */
  cellsWithin(
    band: number,
    col: number,
    row: number,
    metres: number,
  ): Promise<Result<ReadonlyArray<readonly [col: number, row: number, code: number]>>>;

  /** 3 x 3 neighbourhood of the cell that holds each position, row-major n x 9, NaN missing; for slope and aspect. */
  window3(band: number, col: Float64Array, row: Float64Array, work?: Work): Promise<Result<Float64Array>>;

  /**
   * A rectangle of cells resampled to width x height by nearest cell from the best overview level, scaled values,
   * NaN missing: for drawing. Window in full-resolution pixels, may reach outside (NaN there).
   */
  picture(band: number, window: Box, width: number, height: number): Promise<Result<Float32Array>>;

  /**
   * The same raster with every value as factor * value + offset; missing stays missing. Classes are not counted otherwise.
   * Both hold the same decoded blocks.
   */
  inUnit(factor: number, offset: number): Raster;

  /** Bytes of decoded blocks held now; `trim` frees them. */
  heldBytes(): number;
  trim(): void;
}
