/** Which drawn tree a click or a finger means. */
import { CLICKABLE, slotOf, type Slot } from './order.ts';

/** A drawn tree near the pointer: its layer, row, and place on the screen, pixels. */
export interface Drawn {
  readonly layer: string;
  readonly row: number;
  readonly x: number;
  readonly y: number;
}

/** How far from a tree's mark a pointer may be, pixels: a mouse is exact, a fingertip is not. */
export const REACH = { mouse: 5, touch: 12 } as const;

/** Radius of the marks, pixels, as small as they get where people click: a mark that covers another is meant. */
const RADIUS: Partial<Record<Slot, number>> = { member: 9, reserve: 7 };
const DOT = 4;

/** The tree whose mark is nearest and within reach; of marks that lie on one another the one on top. null: none near. */
export function hit(drawn: readonly Drawn[], x: number, y: number, reach: number): number | null {
  let best: number | null = null;
  let least = Infinity;
  for (const d of drawn) {
    const slot = slotOf(d.layer);
    const centre = Math.hypot(d.x - x, d.y - y);
    const away = Math.max(0, centre - (RADIUS[slot] ?? DOT));
    // Kind, then the nearer middle, decide only between marks that are equally near.
    const cost = away + 0.05 * CLICKABLE.indexOf(slot) + 0.001 * centre;
    if (away <= reach && cost < least) {
      least = cost;
      best = d.row;
    }
  }
  return best;
}
