import type { PieceWeight } from '../../plan/schema.ts';

/** The answers that a table has ratios for, of one piece of evidence. */
export interface Answers {
  /** Ratio of each answer, in the order in which classesOf lists them, and its natural log. */
  readonly ratios: readonly number[];
  readonly logs: Float64Array;
  /** Which answer a value is: index into `logs`; -1 where it is not known, or the table has no entry for it. */
  readonly indexOf: (value: number) => number;
  /** Natural log of the ratio of a value; 0 where it is not known, or the table has no entry for it. */
  readonly logOf: (value: number) => number;
}

/**
 * @param weight the entry of the table, undefined where it has none: every value counts ×1.
 * @param words of the piece, null where its values are numbers. Classes are read for words, steps for numbers.
 */
export function answersOf(weight: PieceWeight | undefined, words: readonly string[] | null): Answers {
  const ratios: number[] = [];
  let indexOf: Answers['indexOf'];
  if (words) {
    const { classes = {} } = weight ?? {};
    const byWord = words.map((word) => (Object.hasOwn(classes, word) ? ratios.push(classes[word]) - 1 : -1));
    indexOf = (value) => byWord[value] ?? -1;
  } else {
    const { steps = [] } = weight ?? {};
    ratios.push(...steps.map((s) => s.ratio));
    const below = Float64Array.from(steps, (s) => s.below ?? Infinity);
    indexOf = (value) => {
      for (let s = 0; s < below.length; s++) if (value < below[s]) return s;
      return -1;
    };
  }
  const logs = Float64Array.from(ratios, Math.log);
  return {
    ratios,
    logs,
    indexOf,
    logOf: (value) => {
      const index = indexOf(value);
      return index < 0 ? 0 : logs[index];
    },
  };
}
