import type { Candidates } from '../../candidates/candidates.ts';
import type { EvidenceSettings } from '../../plan/schema.ts';
import type { Measures } from '../vetting.ts';
import type { Theme } from './types.ts';

/** What the pieces of evidence read. */
export interface OriginInput {
  readonly candidates: Candidates;
  readonly measures: Measures;
  /** Kinds of place that `measures.setting` counts in. */
  readonly settingNames: readonly string[];
  readonly settings: EvidenceSettings;
}

/** A kind of evidence on the origin of a tree. One file each in this folder; pieces.ts is the ordered list. */
export interface Piece {
  /** Id in the weight table. */
  readonly id: string;
  /** As the user reads it. */
  readonly title: string;
  readonly theme: Theme;
  /** Unit of the value; '' for classes. */
  readonly unit: '' | 'm' | 'share' | 'trees' | 'buildings';
  /** Name in Measures that it is read from, '' from the candidate's record. */
  readonly from: keyof Measures | '';
  /** Where that differs from tree to tree: what it was read from at a row. */
  readonly fromAt?: (input: OriginInput, row: number) => keyof Measures | '';
  /** More on the value of a row, in words with metric units; '' where there is no more. */
  readonly detail?: (input: OriginInput, row: number) => string;
  /** Classes, in the words of the weight table; null for numbers. */
  readonly words: readonly string[] | null;
  /** What to look at where it is not known. */
  readonly check: string;
  /** 1 where the question does not arise (a burial ground, of a tree on a campus); absent: it always does. */
  readonly idle?: (input: OriginInput) => Uint8Array;
  /** A value a candidate, NaN not known; for classes an index into `words`. */
  readonly measure: (input: OriginInput) => Float64Array;
}

/** Index of the word that each text stands for; texts repeat, so each is read once. NaN where it stands for none. */
export function classify(
  texts: readonly string[] | undefined,
  n: number,
  words: readonly string[],
  wordOf: (text: string) => string | null,
): Float64Array {
  const out = new Float64Array(n).fill(NaN);
  if (!texts) return out;
  const memo = new Map<string, number>();
  for (let i = 0; i < n; i++) {
    const text = texts[i];
    if (text === '') continue;
    let index = memo.get(text);
    if (index === undefined) {
      const word = wordOf(text);
      index = word === null ? NaN : words.indexOf(word);
      memo.set(text, index);
    }
    out[i] = index < 0 ? NaN : index;
  }
  return out;
}
