/** Adds up the match of cells by zone. */
import type { Spans } from '../../layers/spans.ts';

/** Bins of the histograms (ZoneMatch). */
export const BINS = 1000;

export class ZoneTally {
  readonly #runs: readonly Spans[];
  readonly #width: number;
  /** Next run of each zone. */
  readonly #next: Int32Array;
  readonly histograms: readonly Float64Array[];
  readonly km2: Float64Array;
  readonly knownKm2: Float64Array;
  /** NaN before a cell has a match. */
  readonly best: Float64Array;
  /** Cell of the best match, counted row by row over the grid; the first of equals; -1 none. */
  readonly bestCell: Float64Array;

  /** @param runs cells of each zone on a grid of `width` columns; a cell of several zones counts for the first. */
  constructor(runs: readonly Spans[], width: number) {
    this.#runs = runs;
    this.#width = width;
    this.#next = new Int32Array(runs.length);
    this.histograms = runs.map(() => new Float64Array(BINS));
    this.km2 = new Float64Array(runs.length);
    this.knownKm2 = new Float64Array(runs.length);
    this.best = new Float64Array(runs.length).fill(NaN);
    this.bestCell = new Float64Array(runs.length).fill(-1);
  }

  /**
   * The next whole rows of the grid, from the top.
   * @param row first of them. @param match of each cell, NaN unknown. @param km2 of each cell.
   */
  add(row: number, match: Float32Array, km2: Float64Array): void {
    const width = this.#width;
    const zoneOf = new Int32Array(match.length).fill(-1);
    const end = row + match.length / width;
    // The last zone first, so that the first one has its cells in the end.
    for (let z = this.#runs.length - 1; z >= 0; z--) {
      const runs = this.#runs[z];
      let at = this.#next[z];
      for (; at < runs.length && runs[at] < end; at += 3) {
        const start = (runs[at] - row) * width;
        zoneOf.fill(z, start + runs[at + 1], start + runs[at + 2]);
      }
      this.#next[z] = at;
    }
    for (let i = 0; i < zoneOf.length; i++) {
      const z = zoneOf[i];
      if (z < 0) continue;
      const area = km2[i];
      this.km2[z] += area;
      const m = match[i];
      if (!(m >= 0)) continue;
      this.knownKm2[z] += area;
      this.histograms[z][Math.min(BINS - 1, Math.floor(m * BINS))] += area;
      if (m <= this.best[z]) continue;
      this.best[z] = m;
      this.bestCell[z] = row * width + i;
    }
  }
}
