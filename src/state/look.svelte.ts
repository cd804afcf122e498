/** Places that a question on screen is about, outlined on the map until it is settled: where a file would lie. Neither saved nor undoable. */
import type { Box } from '../domain/base/geo.ts';

export interface Outline {
  readonly box: Box;
  readonly title: string;
  /** The one in question; others are drawn beside it for comparison. */
  readonly chosen: boolean;
}

export class Look {
  outlines = $state.raw<readonly Outline[]>([]);
  /** What the map shall come to show; a new object each time, so that asking twice moves it twice. */
  target = $state.raw<{ readonly box: Box; readonly close: boolean } | null>(null);
  #by: unknown = null;

  /** @param by who asks: only the same one takes the outlines away again. */
  at(by: unknown, outlines: readonly Outline[]): void {
    this.#by = by;
    this.outlines = outlines;
    const boxes = outlines.map((o) => o.box);
    if (boxes.length > 0) this.target = { box: around(boxes), close: false };
  }

  /** Moves the map to a place without outlining anything. @param close as near as the box allows: it is of one tree. */
  show(box: Box, close = false): void {
    this.target = { box, close };
  }

  leave(by: unknown): void {
    if (this.#by !== by) return;
    this.outlines = [];
    this.#by = null;
  }

  clear(): void {
    this.outlines = [];
    this.target = null;
    this.#by = null;
  }
}

/** Degrees to each side at least: a spot alone on the map does not tell where it is, states and counties around it do. */
const CONTEXT = 1.2;

function around(boxes: readonly Box[]): Box {
  const all = boxes.reduce<[number, number, number, number]>(
    ([w, s, e, n], b) => [Math.min(w, b[0]), Math.min(s, b[1]), Math.max(e, b[2]), Math.max(n, b[3])],
    [180, 85, -180, -85],
  );
  const [x, y] = [(all[0] + all[2]) / 2, (all[1] + all[3]) / 2];
  // The map has no poles: what lies beyond is shown up to its rim.
  return [
    Math.max(-180, Math.min(all[0], x - CONTEXT)),
    Math.max(-85, Math.min(all[1], y - CONTEXT)),
    Math.min(180, Math.max(all[2], x + CONTEXT)),
    Math.min(85, Math.max(all[3], y + CONTEXT)),
  ];
}
