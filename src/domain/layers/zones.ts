import type { Area } from '../base/geo.ts';

/** Seed-collection zones of the user, dissolved by key. */
export interface Zone {
  readonly key: string;
  readonly name: string;
  readonly area: Area;
}

/** How two zones touch. 'corner': only a shared point; does not count as adjacent unless the user says so. */
export type Contact = 'edge' | 'corner';

export interface ZoneAdjacency {
  /** Pairs of indices into the zones list with a < b. */
  readonly pairs: ReadonlyArray<{ readonly a: number; readonly b: number; readonly contact: Contact; readonly sharedMetres: number }>;
  /** Snap distance used, metres. */
  readonly snap: number;
}
