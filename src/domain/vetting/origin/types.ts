/** Themes within which pieces of evidence are not independent. */
export const THEMES = ['ground use', 'people', 'structure', 'age', 'record', 'range'] as const;
export type Theme = (typeof THEMES)[number];

/** Verdicts on origin, by index. */
export const ORIGIN_VERDICTS = [
  'likely natural',
  'unsettled',
  'likely planted',
  'not enough evidence',
] as const;
export type OriginVerdict = (typeof ORIGIN_VERDICTS)[number];

/** One piece of evidence over all candidates. */
export interface EvidenceColumn {
  /** Id of the piece in the weight table. */
  readonly piece: string;
  /** Measured value (metres, share, count or index of a word in `words`); NaN not known. */
  readonly value: Float64Array;
  /** Words for values that are classes; null for numbers. */
  readonly words: readonly string[] | null;
  /** Natural log of the likelihood ratio before the theme discount; 0 where not known. */
  readonly logRatio: Float64Array;
  /** Natural log after the theme discount: what went into the odds. */
  readonly counted: Float64Array;
}

export interface OriginColumns {
  readonly tableVersion: string;
  readonly evidence: readonly EvidenceColumn[];
  /** Natural log of the posterior odds of natural origin. */
  readonly logOdds: Float64Array;
  readonly probability: Float64Array;
  /** Index into ORIGIN_VERDICTS. */
  readonly verdict: Uint8Array;
  /** Themes measured, 0-6. */
  readonly themes: Uint8Array;
  /** 0 none; 1 natural by record; 2 planted by record: decides whatever the odds. */
  readonly decided: Uint8Array;
  /** Who decided, when and why; '' where none. */
  readonly decidedBy: readonly string[];
}
