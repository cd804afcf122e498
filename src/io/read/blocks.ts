/**
 * Decoded blocks of rasters, kept in the file's own number type (a 16-bit cell stays two bytes) up to one limit for all
 * rasters together; the block used longest ago goes first.
 */
import type { GeoTIFFImage } from 'geotiff';

export type Cells =
  Int8Array | Uint8Array | Int16Array | Uint16Array | Int32Array | Uint32Array | Float32Array | Float64Array;

const DEFAULT_BUDGET = 640 * 1024 * 1024;

export class BlockCache {
  readonly budget: number;
  #held = new Map<string, Cells>();
  #bytes = 0;

  constructor(budget = DEFAULT_BUDGET) {
    this.budget = budget;
  }

  get bytes(): number {
    return this.#bytes;
  }

  get(key: string): Cells | undefined {
    const cells = this.#held.get(key);
    if (cells) {
      this.#held.delete(key);
      this.#held.set(key, cells);
    }
    return cells;
  }

  set(key: string, cells: Cells): void {
    this.delete(key);
    this.#held.set(key, cells);
    this.#bytes += cells.byteLength;
    for (const oldest of this.#held.keys()) {
      if (this.#bytes <= this.budget || oldest === key) break;
      this.delete(oldest);
    }
  }

  delete(key: string): void {
    const cells = this.#held.get(key);
    if (!cells) return;
    this.#held.delete(key);
    this.#bytes -= cells.byteLength;
  }

  /** Bytes held, and freeing, of one raster: keys begin with its name. */
  bytesOf(prefix: string): number {
    let sum = 0;
    for (const [key, cells] of this.#held) if (key.startsWith(prefix)) sum += cells.byteLength;
    return sum;
  }

  drop(prefix: string): void {
    for (const key of [...this.#held.keys()]) if (key.startsWith(prefix)) this.delete(key);
  }
}

/** One image of the file (full size or an overview) cut into blocks. */
export interface Level {
  readonly image: GeoTIFFImage;
  readonly width: number;
  readonly height: number;
  readonly blockWidth: number;
  readonly blockHeight: number;
  readonly across: number;
  readonly down: number;
  readonly key: string;
}

/** Strips are joined to blocks of about this many cells: thousands of one-row strips would each cost a read. */
const CELLS_A_BLOCK = 65_536;

export function levelOf(image: GeoTIFFImage, key: string): Level {
  const width = image.getWidth();
  const height = image.getHeight();
  const blockWidth = Math.min(width, image.isTiled ? image.getTileWidth() : width);
  const stored = Math.min(height, image.getTileHeight());
  const joined = image.isTiled ? 1 : Math.max(1, Math.round(CELLS_A_BLOCK / (blockWidth * stored)));
  const blockHeight = Math.min(height, stored * joined);
  return {
    image,
    width,
    height,
    blockWidth,
    blockHeight,
    across: Math.ceil(width / blockWidth),
    down: Math.ceil(height / blockHeight),
    key,
  };
}

/** Cells of one block of one band (0-based), decoded once; rows are as long as the block's part of the image. */
export async function readBlock(
  level: Level,
  band: number,
  block: number,
  cache: BlockCache,
): Promise<Cells> {
  const key = `${level.key}/${band}/${block}`;
  const held = cache.get(key);
  if (held) return held;
  const left = (block % level.across) * level.blockWidth;
  const top = Math.floor(block / level.across) * level.blockHeight;
  const window = [
    left,
    top,
    Math.min(level.width, left + level.blockWidth),
    Math.min(level.height, top + level.blockHeight),
  ];
  const [cells] = (await level.image.readRasters({
    window,
    samples: [band],
    interleave: false,
  })) as unknown as Cells[];
  cache.set(key, cells);
  return cells;
}
