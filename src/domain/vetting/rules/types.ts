export const ANSWERS = ['pass', 'fail', 'unknown'] as const;
export type Answer = (typeof ANSWERS)[number];
export type Strength = 'must' | 'prefer' | 'off';

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
}

export interface FindingColumns {
  readonly rules: readonly FindingColumn[];
}
