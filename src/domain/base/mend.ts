import type { Box } from './geo.ts';

/**
 * Mistakes of position that the user may have mended on reading: coordinates in each other's place; longitudes that lost
 * their minus sign; positions at 0, 0 that stand for "none", left out; degrees in a file that says it holds metres.
 */
export type Mend = 'axes' | 'sign' | 'zeros' | 'degrees';

/** A mistake that was seen, and what mending it would give. Nothing is mended unasked. */
export interface Offer {
  readonly mend: Mend;
  /** What is wrong, in words: "12 of 340 positions lie at 0, 0". */
  readonly what: string;
  /** Extent after mending (degrees); null where mending leaves nothing. */
  readonly extent: Box | null;
}
