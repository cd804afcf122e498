import type { Candidates } from '../candidates/candidates.ts';
import type { Planting } from '../plan/schema.ts';
import type { MatchColumns } from './match/types.ts';
import type { OriginColumns } from './origin/types.ts';
import { ANSWERS, type FindingColumns } from './rules/types.ts';
import { STANDINGS } from './vetting.ts';

/** A part of the weight is never less than this: a tree that scores 0 in one thing comes last, it does not vanish (ours). */
const FLOOR = 0.01;
/** What a failed rule of strength "prefer" leaves of the weight (ours). */
export const PREFER_FACTOR = 0.8;

/** Parts of the weight, by index. */
export const WEIGHT_PARTS = ['match', 'origin', 'quality'] as const;

type Exponents = Pick<NonNullable<Planting['parents']>, 'match' | 'origin' | 'quality'>;

/** Tree quality, 0-1: mean of the form, crown and last-crop scores on record, of 4; NaN where none is. */
export function qualityOf(candidates: Candidates, row: number): number {
  let sum = 0;
  let known = 0;
  for (const scores of [candidates.form, candidates.crown, candidates.crop]) {
    if (Number.isNaN(scores[row])) continue;
    sum += scores[row];
    known++;
  }
  return known === 0 ? NaN : sum / known / 4;
}

/** The three parts of one candidate's weight in the order of WEIGHT_PARTS; NaN where not known. */
export const weightParts = (
  match: MatchColumns | null,
  origin: OriginColumns,
  candidates: Candidates,
  row: number,
): [number, number, number] => [
  match ? match.match[row] : NaN,
  origin.probability[row],
  qualityOf(candidates, row),
];

/**
 * Weight of each eligible candidate for the choice of parents, in (0, 1] (ours): the geometric mean of match, origin
 * probability and tree quality, weighted by the planting's exponents, times 0.8 for each failed rule of strength "prefer".
 * A part that is not known is left out of the mean (the sheet says so); with no part left the mean is 1. Parts under 0.01
 * count as 0.01. NaN where not eligible.
 */
export function weight(
  candidates: Candidates,
  match: MatchColumns | null,
  origin: OriginColumns,
  findings: FindingColumns,
  standing: Uint8Array,
  exponents: Exponents,
): Float64Array {
  const eligible = STANDINGS.indexOf('eligible');
  const fails = ANSWERS.indexOf('fail');
  const preferred = findings.rules.filter((r) => r.strength === 'prefer');
  const share = [exponents.match, exponents.origin, exponents.quality];
  const out = new Float64Array(candidates.n).fill(NaN);
  for (let i = 0; i < candidates.n; i++) {
    if (standing[i] !== eligible) continue;
    const parts = weightParts(match, origin, candidates, i);
    let logs = 0;
    let shares = 0;
    for (let p = 0; p < parts.length; p++) {
      if (Number.isNaN(parts[p]) || share[p] === 0) continue;
      logs += share[p] * Math.log(Math.max(FLOOR, parts[p]));
      shares += share[p];
    }
    let w = shares > 0 ? Math.exp(logs / shares) : 1;
    for (const rule of preferred) if (rule.answer[i] === fails) w *= PREFER_FACTOR;
    out[i] = w;
  }
  return out;
}
