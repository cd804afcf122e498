import type { OriginWeights } from '../../plan/schema.ts';

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

/** What one piece of evidence says of all candidates, before any weight. */
export interface EvidenceValues {
  /** Id of the piece in the weight table. */
  readonly piece: string;
  /** Measured value (metres, share, count or index of a word in `words`); NaN not known. */
  readonly value: Float64Array;
  /** Words for values that are classes; null for numbers. */
  readonly words: readonly string[] | null;
  /** 1 where the question does not arise, so that there is nothing to check; absent: it always does. */
  readonly idle?: Uint8Array;
}

/** One piece of evidence over all candidates, weighed. */
export interface EvidenceColumn extends EvidenceValues {
  /** Natural log of the likelihood ratio before the theme discount; 0 where not known. */
  readonly logRatio: Float64Array;
  /** Natural log after the theme discount: what went into the odds. */
  readonly counted: Float64Array;
}

/** Verdicts of one table of weights beside those of another, on the same evidence. */
export interface TableComparison {
  readonly from: string;
  readonly to: string;
  /** Candidates under the other table. */
  readonly probability: Float64Array;
  readonly verdict: Uint8Array;
  /** Rows whose verdict changes, furthest in probability first. */
  readonly changed: Int32Array;
  /** Candidates by verdict under the one (rows) and the other (columns): 4 x 4, row-major. */
  readonly moves: Uint32Array;
}

/** What the verdict on one candidate hangs on. */
export interface Sensitivity {
  /** Each known piece: what would be said without it. Furthest in log odds first. */
  readonly without: ReadonlyArray<{
    readonly piece: string;
    readonly title: string;
    readonly logOdds: number;
    readonly probability: number;
    readonly verdict: OriginVerdict;
    /** The verdict is another one. */
    readonly turns: boolean;
  }>;
  /** The piece whose checking could move it most: known (its other answers) or not known. null where nothing could. */
  readonly check: {
    readonly piece: string;
    readonly title: string;
    readonly known: boolean;
    readonly couldMove: number;
    readonly check: string;
  } | null;
}

/** A candidate with a settled outcome: what a re-fit learns from. */
export interface Outcome {
  readonly row: number;
  readonly natural: boolean;
}

/** One of five bars of predicted probability: what was predicted, what came. */
export interface ReliabilityBin {
  readonly from: number;
  readonly to: number;
  readonly n: number;
  /** Mean prediction; NaN with none. */
  readonly predicted: number;
  /** Share that was natural, with Wilson's 95 % interval; NaN with none. */
  readonly observed: number;
  readonly low: number;
  readonly high: number;
}

/** Weights fitted anew on settled outcomes, beside the present ones. */
export interface Refit {
  readonly kind: 'fitted';
  readonly table: OriginWeights;
  readonly natural: number;
  readonly planted: number;
  /** Outcomes with no evidence at all: not among those. */
  readonly leftOut: number;
  /** Whole sentences on what the fit leans on; empty where there is nothing to say. */
  readonly cautions: readonly string[];
  /** Mean squared error of the probability: of the present table, and of the fit by leave-one-out. */
  readonly brier: { readonly before: number; readonly after: number };
  readonly reliability: {
    readonly before: readonly ReliabilityBin[];
    readonly after: readonly ReliabilityBin[];
  };
  /** Ratios, before and after, of the answers that outcomes had; most changed first. */
  readonly ratios: ReadonlyArray<{
    readonly piece: string;
    readonly title: string;
    /** Class or step as the table lists it: index among classesOf(table). */
    readonly answer: number;
    readonly before: number;
    readonly after: number;
    readonly outcomes: number;
  }>;
  readonly prior: { readonly before: number; readonly after: number };
}

/** Why there is no fit yet. */
export interface NoRefit {
  readonly kind: 'too few';
  readonly natural: number;
  readonly planted: number;
  /** Outcomes with no evidence at all: not among those. */
  readonly leftOut: number;
  /** Outcomes needed in all, of both kinds. */
  readonly needed: number;
}

/** What one layer, or one thing to record, could do for the trees that are not settled. */
export interface SettlingSource {
  /** Id of a layer definition; '' where it is recorded at the tree. */
  readonly definition: string;
  /** Pieces of evidence that it answers. */
  readonly pieces: readonly string[];
  /** Unsettled trees that lack it; those that some answer would settle; and how many would be by the answers met elsewhere. */
  readonly lacking: number;
  readonly could: number;
  readonly expected: number;
}

/** What settles candidates whatever the odds. */
export interface Decisions {
  /** 0 none; 1 natural, 2 planted: on record. */
  readonly decided: Uint8Array;
  /** Who decided, when and why; '' where none. */
  readonly decidedBy: readonly string[];
}

export interface OriginColumns extends Decisions {
  readonly tableVersion: string;
  readonly evidence: readonly EvidenceColumn[];
  /** Natural log of the posterior odds of natural origin. */
  readonly logOdds: Float64Array;
  readonly probability: Float64Array;
  /** Index into ORIGIN_VERDICTS. */
  readonly verdict: Uint8Array;
  /** Themes measured, 0-6. */
  readonly themes: Uint8Array;
}
