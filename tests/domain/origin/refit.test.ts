/** The re-fit as a whole: what it needs, what it keeps, and its judgement of itself. Numbers against R: tests/reference/refit.test.ts. */
import * as v from 'valibot';
import { describe, expect, test } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { OriginWeightsSchema, type OriginWeights } from '../../../src/domain/plan/schema.ts';
import { compareTables } from '../../../src/domain/vetting/origin/compareTables.ts';
import { judge } from '../../../src/domain/vetting/origin/judge.ts';
import { refit } from '../../../src/domain/vetting/origin/refit.ts';
import type { NoRefit, OriginColumns, Outcome, Refit } from '../../../src/domain/vetting/origin/types.ts';
import { builtInWeights } from '../../../src/domain/vetting/origin/weights.ts';
import { drawEvidence, drawTable, undecided } from './make.ts';

/** Trees whose origin is drawn from the odds that `truth` gives them. */
function drawn(seed: number, n: number, known: number, truth: OriginWeights, table: OriginWeights) {
  const random = rng(seed);
  const values = drawEvidence(random, n, known);
  const { probability } = judge(values, truth, undecided(n));
  const outcomes = Array.from(probability, (p, row): Outcome => ({ row, natural: random() < p }));
  return { columns: judge(values, table, undecided(n)), outcomes };
}
const fitted = (columns: OriginColumns, table: OriginWeights, outcomes: readonly Outcome[]): Refit => {
  const found = refit(columns, table, outcomes, 'new');
  if (found.kind !== 'fitted') throw new Error(found.kind);
  return found;
};
const table = drawTable(rng(1), 1, 'mine');
const truth = drawTable(rng(2), 1);

describe('what is needed', () => {
  const { columns, outcomes } = drawn(3, 40, 0.5, truth, table);
  test('30 outcomes of both kinds, of trees of which something is known', () => {
    const few = refit(columns, table, outcomes.slice(0, 29), 'new') as NoRefit;
    expect(few.kind).toBe('too few');
    expect([few.natural + few.planted, few.leftOut, few.needed]).toEqual([29, 0, 30]);
    expect(refit(columns, table, outcomes.slice(0, 30), 'new').kind).toBe('fitted');
    const one = outcomes.map((o) => ({ ...o, natural: true }));
    expect(refit(columns, table, one, 'new')).toEqual({
      kind: 'too few',
      natural: 40,
      planted: 0,
      leftOut: 0,
      needed: 30,
    });
    expect(refit(columns, table, [], 'new').kind).toBe('too few');
  });
  test('outcomes with no evidence at all are left out, counted, and change nothing', () => {
    const evidence = columns.evidence.map((e) => ({ ...e, value: Float64Array.of(...e.value, NaN, NaN) }));
    const wide = judge(evidence, table, undecided(42));
    const more = [...outcomes, { row: 40, natural: true }, { row: 41, natural: false }];
    const found = fitted(wide, table, more);
    expect(found.leftOut).toBe(2);
    expect({ ...found, leftOut: 0 }).toEqual(fitted(columns, table, outcomes));
    expect((refit(wide, table, more.slice(11), 'new') as NoRefit).leftOut).toBe(2);
  });
});

describe('the table that is made', () => {
  const { columns, outcomes } = drawn(4, 60, 0.3, truth, builtInWeights);
  const found = fitted(columns, builtInWeights, outcomes);
  test('holds to the schema, says on what it was fitted, and keeps notes, steps and what no outcome had', () => {
    expect(v.safeParse(OriginWeightsSchema, found.table).success).toBe(true);
    expect(found.table.version).toBe('new');
    expect(found.table.note).toBe(
      `Re-fitted on 60 outcomes (${found.natural} natural, ${found.planted} planted) from the table "${builtInWeights.version}". Answers that no outcome had keep their ratio.`,
    );
    const met = new Set(found.ratios.map((r) => `${r.piece} ${r.answer}`));
    let kept = 0;
    found.table.pieces.forEach((weight, w) => {
      const was = builtInWeights.pieces[w];
      expect({ ...weight, steps: 0, classes: 0 }).toEqual({ ...was, steps: 0, classes: 0 });
      expect(weight.steps?.map((s) => s.below)).toEqual(was.steps?.map((s) => s.below));
      expect(Object.keys(weight.classes ?? {})).toEqual(Object.keys(was.classes ?? {}));
      weight.steps?.forEach((s, a) => {
        if (met.has(`${weight.piece} ${a}`)) return;
        expect(s.ratio).toBe(was.steps?.[a].ratio);
        kept++;
      });
    });
    expect(kept).toBeGreaterThan(0);
  });
  test('ratios before and after, most changed first, with the outcomes that had each answer', () => {
    const change = found.ratios.map((r) => Math.abs(Math.log(r.after / r.before)));
    expect(change).toEqual(change.toSorted((a, b) => b - a));
    for (const { piece } of builtInWeights.pieces) {
      const e = columns.evidence.find((x) => x.piece === piece);
      // "uncertain" is no answer: the table has no entry for it.
      const known = outcomes.filter((o) => {
        const value = e?.value[o.row] ?? NaN;
        return !Number.isNaN(value) && e?.words?.[value] !== 'uncertain';
      }).length;
      const of = found.ratios.filter((r) => r.piece === piece);
      expect([piece, of.reduce((sum, r) => sum + r.outcomes, 0)]).toEqual([piece, known]);
    }
  });
  test('entries for pieces that this version does not know stay as they are', () => {
    const moon = { piece: 'moon', note: 'mine', classes: { full: 2 } };
    const wide = { ...builtInWeights, pieces: [...builtInWeights.pieces, moon] };
    expect(fitted(columns, wide, outcomes).table.pieces.at(-1)).toEqual(moon);
  });
  test('no ratio leaves 1/100 to 100, however one-sided the outcomes are', () => {
    const sure = { ...table, prior: 20 };
    const many = drawn(5, 400, 0.05, truth, sure);
    const all = many.outcomes.map((o, i) => ({ ...o, natural: i !== 7 }));
    const { ratios, prior } = fitted(many.columns, sure, all);
    expect(Math.max(...ratios.map((r) => r.after), prior.after)).toBeLessThanOrEqual(100);
    expect(prior.after).toBe(100);
  });
});

describe('its judgement of itself', () => {
  test('leave-one-out: each outcome is judged by a fit on the others', () => {
    const { columns, outcomes } = drawn(6, 33, 0.5, truth, table);
    const found = fitted(columns, table, outcomes);
    const square = outcomes.map((o) => {
      const others = fitted(
        columns,
        table,
        outcomes.filter((x) => x !== o),
      );
      return (compareTables(columns, others.table).probability[o.row] - (o.natural ? 1 : 0)) ** 2;
    });
    expect(found.brier.after).toBeCloseTo(square.reduce((a, b) => a + b, 0) / 33, 12);
    const present = outcomes.map((o) => (columns.probability[o.row] - (o.natural ? 1 : 0)) ** 2);
    expect(found.brier.before).toBeCloseTo(present.reduce((a, b) => a + b, 0) / 33, 12);
    for (const bars of [found.reliability.before, found.reliability.after])
      expect(bars.reduce((sum, b) => sum + b.n, 0)).toBe(33);
  });
  test('with many outcomes of another truth it comes closer to that than the table was, and says so', () => {
    const { columns, outcomes } = drawn(7, 500, 0.4, truth, table);
    const found = fitted(columns, table, outcomes);
    expect(found.brier.after).toBeLessThan(found.brier.before - 0.02);
    const far = (t: OriginWeights): number => {
      const fresh = drawn(8, 2000, 0.4, truth, t).columns.probability;
      const right = drawn(8, 2000, 0.4, truth, truth).columns.probability;
      return fresh.reduce((sum, p, i) => sum + Math.abs(p - right[i]), 0) / 2000;
    };
    expect(far(found.table)).toBeLessThan(0.7 * far(table));
  });
  test('a decision on record does not count as a prediction: the evidence is judged', () => {
    const { columns, outcomes } = drawn(9, 40, 0.5, truth, table);
    const decided = Uint8Array.from(outcomes, (o) => (o.natural ? 1 : 2));
    const settled = judge(columns.evidence, table, { decided, decidedBy: Array.from(decided, String) });
    expect(fitted(settled, table, outcomes)).toEqual(fitted(columns, table, outcomes));
  });
});

test('few of one kind, and a prior that moves, are cautioned about', () => {
  const { columns, outcomes } = drawn(10, 200, 0.5, truth, table);
  const rare = outcomes.map((o, i) => ({ ...o, natural: i >= 3 }));
  expect(fitted(columns, table, rare).cautions).toEqual([
    'Only 3 of the outcomes are planted: the fit leans on few trees.',
    expect.stringMatching(/^The prior odds follow the share of natural trees among the outcomes/),
  ]);
});
