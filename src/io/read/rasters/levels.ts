/**
 * A raster at one size (full size, an overview, a mask) as blocks of cells. Every format of rasters gives levels; what a
 * value at a place is, blockRaster.ts says for all of them.
 */
import type { Box } from '../../../domain/base/geo.ts';
import type { Cells } from './blocks.ts';

export interface Level {
  readonly width: number;
  readonly height: number;
  readonly blockWidth: number;
  readonly blockHeight: number;
  /** Blocks in a row, and rows of blocks. */
  readonly across: number;
  readonly down: number;
  /** Unlike that of any other level that is open. */
  readonly key: string;
  /** Bands that one decoding gives, whichever is asked for; 1 where each lies apart. */
  readonly together: number;
  /** Bytes of a cell of one band, as held in memory. */
  readonly cellBytes: number;
  /** Level of the same size and the same blocks, whose cells are 0 where this one's are missing. */
  readonly mask: Level | null;
  /**
   * Cells of one block in each of the bands asked for (0-based), in the file's own number type; rows are as long as the
   * block's part of the raster. Throws where the file is damaged or cannot be read.
   */
  decode(block: number, bands: readonly number[]): Promise<Cells[]>;
}

export type Cut = Pick<Level, 'width' | 'height' | 'blockWidth' | 'blockHeight' | 'across' | 'down'>;

/** More blocks than any real file has; a damaged header is caught here before it asks for memory. */
export const MOST_BLOCKS = 1 << 23;
/** Blocks of about this many cells where a format leaves the choice. */
export const CELLS_A_BLOCK = 65_536;

export function cutInto(width: number, height: number, blockWidth: number, blockHeight: number): Cut {
  return {
    width,
    height,
    blockWidth,
    blockHeight,
    across: Math.ceil(width / blockWidth),
    down: Math.ceil(height / blockHeight),
  };
}

/** The cells that a block covers: smaller than the others at the right and lower edge. */
export function partOf(
  cut: Cut,
  block: number,
): { left: number; top: number; right: number; bottom: number } {
  const left = (block % cut.across) * cut.blockWidth;
  const top = Math.floor(block / cut.across) * cut.blockHeight;
  return {
    left,
    top,
    right: Math.min(left + cut.blockWidth, cut.width),
    bottom: Math.min(top + cut.blockHeight, cut.height),
  };
}

/** Blocks that hold cells of a window (left, top, right, bottom; inside the image), row by row. */
export function blocksIn(cut: Cut, [left, top, right, bottom]: Box): number[] {
  const blocks: number[] = [];
  for (let y = Math.floor(top / cut.blockHeight); y * cut.blockHeight < bottom; y++)
    for (let x = Math.floor(left / cut.blockWidth); x * cut.blockWidth < right; x++)
      blocks.push(y * cut.across + x);
  return blocks;
}
