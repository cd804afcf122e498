import type { PieceWeight } from '../../plan/schema.ts';
import { answersOf } from './answers.ts';
import type { EvidenceValues } from './types.ts';

export interface AnswerCounts {
  /** Rows by answer: index of a word of the piece, or of a step of its weights. */
  readonly answers: Uint32Array;
  /** Rows for which the piece is not known. */
  readonly notKnown: number;
}

/**
 * How many rows have each answer of a piece of evidence: what a change of its weight touches.
 * @param weight its entry in the table, whose steps a number falls into; a number past all steps counts in none.
 */
export function answerCounts(
  { value, words }: EvidenceValues,
  weight: PieceWeight | undefined,
  rows: ArrayLike<number>,
): AnswerCounts {
  const { logs, indexOf } = answersOf(weight, words);
  const answers = new Uint32Array(words ? words.length : logs.length);
  let notKnown = 0;
  for (let i = 0; i < rows.length; i++) {
    const x = value[rows[i]];
    if (Number.isNaN(x)) notKnown++;
    else {
      const answer = words ? x : indexOf(x);
      if (answer >= 0) answers[answer]++;
    }
  }
  return { answers, notKnown };
}
