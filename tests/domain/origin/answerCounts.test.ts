import { describe, expect, it } from 'vitest';
import { answerCounts } from '../../../src/domain/vetting/origin/answerCounts.ts';
import { pickOrigin } from '../../../src/domain/vetting/origin/pickOrigin.ts';
import { make } from '../candidates/make.ts';
import { originOf } from '../vetting/make.ts';

describe('how many candidates have each answer', () => {
  const value = Float64Array.of(0, 9.99, 10, 5000, NaN);
  it('counts numbers by the steps of the table, among the rows asked for', () => {
    const weight = { piece: 'x', steps: [{ below: 10, ratio: 0.2 }, { ratio: 2 }], note: '' };
    const column = { piece: 'x', value, words: null };
    expect(answerCounts(column, weight, [0, 1, 2, 3, 4])).toEqual({
      answers: Uint32Array.of(2, 2),
      notKnown: 1,
    });
    expect(answerCounts(column, weight, [2, 4, 4])).toEqual({ answers: Uint32Array.of(0, 1), notKnown: 2 });
    // Past the last limit of a table that has no open step, and of a table without the piece: in none.
    const closed = { ...weight, steps: [{ below: 10, ratio: 0.2 }] };
    expect(answerCounts(column, closed, [0, 1, 2, 3])).toEqual({ answers: Uint32Array.of(2), notKnown: 0 });
    expect(answerCounts(column, undefined, [0])).toEqual({ answers: new Uint32Array(0), notKnown: 0 });
  });
  it('counts every word, also one without a ratio', () => {
    const column = { piece: 'x', value: Float64Array.of(1, 1, 0, NaN), words: ['a', 'b', 'c'] };
    const weight = { piece: 'x', classes: { a: 2 }, note: '' };
    expect(answerCounts(column, weight, [0, 1, 2, 3])).toEqual({
      answers: Uint32Array.of(1, 2, 0),
      notKnown: 1,
    });
  });
});

it('the origin of some rows is that of these candidates alone', () => {
  const settings = ['yard', 'woodland', '', 'park'];
  const building = [3, 400, NaN, 60];
  const all = originOf(make(settings.map((setting) => ({ text: { setting } }))), { building });
  const rows = [3, 0];
  const some = originOf(make(rows.map((r) => ({ text: { setting: settings[r] } }))), {
    building: rows.map((r) => building[r]),
  });
  expect(pickOrigin(all, rows)).toEqual(some);
});
