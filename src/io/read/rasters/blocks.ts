/**
 * Decoded blocks of rasters, kept in the file's own number type (a 16-bit cell stays two bytes) up to one limit for all
 * rasters together; the block used longest ago goes first.
 */
export type Cells =
  Int8Array | Uint8Array | Int16Array | Uint16Array | Int32Array | Uint32Array | Float32Array | Float64Array;

const DEFAULT_BUDGET = 240 * 1024 * 1024;

export class BlockCache {
  readonly budget: number;
  #held = new Map<string, Cells>();
  #coming = new Map<string, Promise<void>>();
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

  /** Runs `make` for a key unless it runs already: two readers of one block decode it once. */
  once(key: string, make: () => Promise<void>): Promise<void> {
    const coming = this.#coming.get(key);
    if (coming) return coming;
    const made = make().finally(() => this.#coming.delete(key));
    this.#coming.set(key, made);
    return made;
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

/** One limit for all rasters of this thread. */
export const sharedBlocks = new BlockCache();
let opened = 0;

/** A beginning for keys of blocks that no other raster has: one file may be open twice. */
export const freshKey = (file: string): string => `${file}#${opened++}`;
