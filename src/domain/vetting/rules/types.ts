export const ANSWERS = ['pass', 'fail', 'unknown'] as const;
export type Answer = (typeof ANSWERS)[number];
export type Strength = 'must' | 'prefer' | 'off';

/** In `AskedOfSites.site`: the answer is about no one site (what is not known is the candidate's). */
export const NO_SITE = 255;

/** How a rule was answered that is asked of each of several sites. */
export interface AskedOfSites {
  /** The site that each row suits least, whose answer, measure and limit count; NO_SITE where no one site is to be named. */
  readonly site: Uint8Array;
  /** Limit and what to check in words as they are for each site. */
  readonly limits: readonly string[];
  readonly toCheck: readonly string[];
}

/** One rule's answers over all candidates. */
export interface FindingColumn {
  readonly rule: string;
  /** As the user reads it ("Elevation"). */
  readonly title: string;
  readonly strength: Exclude<Strength, 'off'>;
  /** Index into ANSWERS. */
  readonly answer: Uint8Array;
  /** Measured value in the rule's unit; NaN unknown. For classes an index into `words`. */
  readonly measure: Float64Array;
  readonly unit: string;
  readonly words: readonly string[] | null;
  /** The limit in words with its unit in metric ("within 150 m of the site"); numbers in `limits` for conversion. */
  readonly limit: string;
  readonly limits: Readonly<Record<string, number>>;
  /** What to check where the answer is unknown, and what would mend a fail. */
  readonly toCheck: string;
  /** Name in Measures that the measure was read from, '' when from the candidate's record. */
  readonly from: string;
  /** null where the planting has one site, or where the rule asks of the candidate alone. */
  readonly sites: AskedOfSites | null;
}

export interface FindingColumns {
  readonly rules: readonly FindingColumn[];
}
