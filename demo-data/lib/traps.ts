import type { Tree } from './notebook.ts';

export interface Expected {
  /** Standing in the named planting of the first id, or of all where `all` is set. */
  readonly standing?: 'eligible' | 'needs a check' | 'ruled out';
  /** Rule -> answer in the named planting. */
  readonly findings?: Readonly<Record<string, 'pass' | 'fail' | 'unknown'>>;
  /** True: standing and findings hold for all ids; else for the first. */
  readonly all?: boolean;
  /** Verdicts on origin that may be given, for all ids. */
  readonly origin?: readonly string[];
  /** At most this many of the ids can be members together. */
  readonly mostMembers?: number;
  /** Metres between the first two ids, on the ellipsoid. */
  readonly metres?: number;
  /** The last record repeats an earlier one. */
  readonly duplicate?: boolean;
  /** The best choice of ten beats "heaviest first" by at least this share of its total. */
  readonly betterThanGreedy?: number;
  /** Least metres outside the range polygon of the tree's species. */
  readonly outsideRange?: number;
}

/** A record, or several, made to be told apart from the rest; listed in traps.json. */
export interface Trap {
  readonly trap: string;
  /** Id of the planting that `expected` speaks of, '' for any. */
  readonly planting: string;
  readonly trees: readonly Tree[];
  readonly expected: Expected;
  readonly why: string;
}
