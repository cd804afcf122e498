/** What a table of weights says, in words. */
import { inWords } from '../../domain/base/inWords.ts';
import type { OriginWeights, PieceWeight } from '../../domain/plan/schema.ts';
import { ratioWords } from '../../domain/vetting/sheet.ts';
import type { Units } from '../../state/session.svelte.ts';
import { measured, number, quantityOf } from '../format.ts';

/** One answer of a piece of evidence, as the table lists it: a word, or a step with its bounds (NaN open). */
export interface AnswerLine {
  readonly word: string;
  readonly from: number;
  readonly below: number;
  /** 1 where the table has none. */
  readonly ratio: number;
}

/** Every answer that a piece can have: its words, also those without a ratio, or the steps of its table. */
export function answerLines(weight: PieceWeight | undefined, words: readonly string[] | null): AnswerLine[] {
  if (words) {
    const classes = weight?.classes ?? {};
    return words.map((word) => ({
      word,
      from: NaN,
      below: NaN,
      ratio: Object.hasOwn(classes, word) ? classes[word] : 1,
    }));
  }
  const steps = weight?.steps ?? [];
  return steps.map((s, i) => ({
    word: '',
    from: steps[i - 1]?.below ?? NaN,
    below: s.below ?? NaN,
    ratio: s.ratio,
  }));
}

/** "burial ground", "under 30 m", "30 m to 100 m", "4 to 8 trees", "300 m or more"; a title that counts buildings says so itself. */
export function answerTitle({ word, from, below }: AnswerLine, unit: string, units: Units): string {
  if (word) return word;
  const counted = unit !== 'share' && quantityOf(unit) === null;
  const of = counted && unit !== 'buildings' ? ` ${unit}`.trimEnd() : '';
  const said = (x: number): string => measured(x, counted ? '' : unit, units);
  if (Number.isNaN(from)) return Number.isNaN(below) ? 'any' : `under ${said(below)}${of}`;
  return Number.isNaN(below) ? `${said(from)}${of} or more` : `${said(from)} to ${said(below)}${of}`;
}

/** How a ratio is typed: so many times for one side. */
export interface Leaning {
  readonly times: number;
  readonly side: 'natural' | 'planted';
}

export const leaningOf = (ratio: number): Leaning => ({
  times: Number(Math.max(ratio, 1 / ratio).toPrecision(4)),
  side: ratio < 1 ? 'planted' : 'natural',
});

export const ratioOf = ({ times, side }: Leaning): number => (side === 'natural' ? times : 1 / times);

/** "×3 for natural", "×5 for planted", "even". */
export const leans = (ratio: number): string => ratioWords(Math.log(ratio));

/** The furthest that the pieces of a theme go either way: "up to ×3 for natural and ×50 for planted". */
export function reach(ratios: readonly number[]): string {
  const most = Math.max(1, ...ratios);
  const least = Math.min(1, ...ratios);
  const ways = [most, least].filter((r) => leans(r) !== 'even').map(leans);
  return ways.length === 0 ? 'even throughout' : `up to ${inWords(ways)}`;
}

/** Half the width of a bar of this ratio, 0-1: logarithms, as they add up. @param most ratio that fills it. */
export const barShare = (ratio: number, most: number): number =>
  Math.min(1, Math.abs(Math.log(ratio)) / Math.log(most));

/** The greatest ratio of a table, either way; at least 4, so that small ones look small. */
export const mostOf = ({ pieces }: OriginWeights): number =>
  Math.max(
    4,
    ...pieces.flatMap(({ steps, classes }) =>
      [...(steps ?? []).map((s) => s.ratio), ...Object.values(classes ?? {})].map((r) => Math.max(r, 1 / r)),
    ),
  );

/** The prior in words: "even", "3 natural to 1 planted". */
export function priorWords(prior: number): string {
  if (Math.abs(Math.log(prior)) < 0.005) return 'as many natural as planted';
  const { times, side } = leaningOf(prior);
  const other = side === 'natural' ? 'planted' : 'natural';
  return `${number(times, times < 10 && !Number.isInteger(times) ? 1 : 0)} ${side} to 1 ${other}`;
}

/** Mean squared errors of the probabilities before and after a fit, in words. */
export function brierWords({ before, after }: { readonly before: number; readonly after: number }): string {
  const change = before - after;
  if (Math.abs(change) < 0.0005)
    return 'On trees that it has not seen, the new table does as well as the one in use.';
  return change > 0
    ? 'On trees that it has not seen, the new table comes nearer to what was found than the one in use.'
    : 'On trees that it has not seen, the new table does worse than the one in use: there is no reason to take it.';
}

/** What is still lacking before weights can be fitted; '' where nothing is. */
export function lackWords(natural: number, planted: number, needed: number): string {
  const parts: string[] = [];
  if (natural + planted < needed)
    parts.push(
      `${natural + planted} of the ${needed} outcomes that a fit needs ${natural + planted === 1 ? 'is' : 'are'} on record`,
    );
  const none = [natural === 0 ? 'natural' : '', planted === 0 ? 'planted' : ''].filter(Boolean);
  if (none.length > 0)
    parts.push(
      `${parts.length > 0 ? '' : 'Outcomes are on record, but '}none of a ${none.join(' or ')} tree`,
    );
  return parts.length === 0 ? '' : `${parts.join(', ')}.`;
}
