/**
 * Weights of evidence against worked values.
 * Form: Good 1950, Probability and the Weighing of Evidence; Bonham-Carter 1994, Geographic Information Systems for
 * Geoscientists, ch. 9 (posterior logit = prior logit + sum of weights). Numbers computed from these formulas.
 */
import { expect, test } from 'vitest';
import type { OriginWeights } from '../../src/domain/plan/schema.ts';
import { make } from '../domain/candidates/make.ts';
import { originOf } from '../domain/vetting/make.ts';

const table = (prior: number, ratios: Record<string, number>): OriginWeights => ({
  version: 'reference',
  note: '',
  prior,
  pieces: Object.entries(ratios).map(([piece, ratio]) => ({ piece, steps: [{ ratio }], note: '' })),
});
/** One piece of each of three themes: ground use, people, range. */
const three = { developed100: [0], building: [0], range: [0] };

test.each([
  // prior odds, ratios, posterior probability
  [1, [3, 0.2, 1.5], 0.473684],
  [0.5, [3, 0.4, 2], 0.54545454],
])('prior odds %d, ratios of three themes', (prior, [a, b, c], probability) => {
  const o = originOf(make([{}]), three, table(prior, { developed100: a, building: b, range: c }));
  expect(o.probability[0]).toBeCloseTo(probability, 6);
});

test.each([
  // Prior probability 0.5 and 0.3: odds 1 and 3/7.
  [0.5, [3, 0.4, 2], 0.70588],
  [0.3, [4, 0.5, 2.5], 0.68182],
])('prior probability %d', (p, [a, b, c], probability) => {
  const o = originOf(make([{}]), three, table(p / (1 - p), { developed100: a, building: b, range: c }));
  expect(o.probability[0]).toBeCloseTo(probability, 5);
});

test('Good’s centiban: 100 log10 of the product of ratios 3, 0.4, 2', () => {
  const o = originOf(make([{}]), three, table(1, { developed100: 3, building: 0.4, range: 2 }));
  expect((100 * o.logOdds[0]) / Math.LN10).toBeCloseTo(38.02, 2);
});

test('two ratios of one theme, 4 and 2: 4 x 2^(1/2)', () => {
  const o = originOf(make([{}]), { building: [0], roadEdge: [0] }, table(1, { building: 4, road: 2 }));
  expect(Math.exp(o.logOdds[0])).toBeCloseTo(5.656854, 6);
});

test('counts of 1000 cells: 80 deposits, 300 with the evidence, 60 with both (W+ 1.05605, W- -1.08401)', () => {
  // Odds of a deposit 80/920; ratio with the evidence (60/80)/(240/920), without it (20/80)/(680/920).
  const weights: OriginWeights = {
    version: 'counts',
    note: '',
    prior: 80 / 920,
    pieces: [
      {
        piece: 'inventory',
        classes: { listed: 60 / 80 / (240 / 920), 'not listed': 20 / 80 / (680 / 920) },
        note: '',
      },
    ],
  };
  const o = originOf(make([{}, {}]), { inventory: [0, 100] }, weights);
  const column = o.evidence.find((e) => e.piece === 'inventory');
  expect(column?.logRatio[0]).toBeCloseTo(1.05605, 5);
  expect(column?.logRatio[1]).toBeCloseTo(-1.08401, 5);
  // 60 of 300, and 20 of 700.
  expect(o.probability[0]).toBeCloseTo(0.2, 10);
  expect(o.probability[1]).toBeCloseTo(0.02857, 5);
});
