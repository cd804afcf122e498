/** Edits of candidates as Changes: what they leave in the plan, and that each is undone by its inverse. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { applyEdits } from '../../../src/domain/candidates/hand/edits.ts';
import { inverse } from '../../../src/domain/plan/change.ts';
import {
  addCandidates,
  changeCandidates,
  dropApart,
  handIds,
  mergeCandidates,
  moveCandidate,
  removeCandidates,
  restoreCandidates,
  revertCandidate,
  setApart,
  unmerge,
} from '../../../src/domain/plan/changeCandidates.ts';
import { freshPlan, freshPlanting } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import type { Plan } from '../../../src/domain/plan/schema.ts';
import { make } from '../candidates/make.ts';

const start = (): Plan => ({
  ...freshPlan('p'),
  plantings: [
    {
      ...freshPlanting('a', 'A', 'Quercus alba', { lon: -84, lat: 38, name: '' }, []),
      locks: ['t1'],
      bans: ['t2'],
    },
  ],
  statements: [{ candidate: 't1', origin: 'natural', reason: 'seen', by: 'x', date: '' }],
  photos: [{ path: 'photos/1.jpg', lon: -84, lat: 38, candidate: 't1', date: '', note: '' }],
});
const base = make(Array.from({ length: 6 }, () => ({})));
const idsOf = (plan: Plan): readonly string[] => applyEdits(base, plan.candidates).candidates.id;

test('what was set down by hand is edited in place, a record of a file beside it', () => {
  const plan = addCandidates(start(), [{ id: 'H1', lat: '38', lon: '-84' }]).after;
  const { candidates } = changeCandidates(plan, [
    { id: 'H1', fields: { dbh: '40' } },
    { id: 't0', fields: { dbh: '41' } },
  ]).after;
  expect(candidates.added).toEqual([{ id: 'H1', lat: '38', lon: '-84', dbh: '40' }]);
  expect(candidates.changed).toEqual({ t0: { dbh: '41' } });
});

test('moving keeps other changes; taking back leaves those that are not named', () => {
  let plan = changeCandidates(start(), [{ id: 't0', fields: { dbh: '41' } }]).after;
  plan = moveCandidate(plan, 't0', -84.123456789, 38).after;
  expect(plan.candidates.changed['t0']).toEqual({ dbh: '41', lon: '-84.1234568', lat: '38' });
  plan = revertCandidate(plan, 't0', ['lon', 'lat']).after;
  expect(plan.candidates.changed['t0']).toEqual({ dbh: '41' });
  expect(revertCandidate(plan, 't0').after.candidates.changed).toEqual({});
});

test('what several people said of records of one tree is all kept when they are merged', () => {
  const said = { ...start().statements[0], candidate: 't0', origin: 'planted' as const, by: 'y' };
  const before = { ...start(), statements: [...start().statements, said] };
  const { after } = mergeCandidates(before, [{ keep: 't0', repeats: ['t1'], fields: {} }]);
  expect(after.statements.map((s) => [s.candidate, s.by])).toEqual([
    ['t0', 'x'],
    ['t0', 'y'],
  ]);
});

test('a merged tree takes over what was said of its records', () => {
  const plan = mergeCandidates(start(), [{ keep: 't0', repeats: ['t1', 't2'], fields: { dbh: '44' } }]).after;
  expect(plan.candidates.merged).toEqual([{ keep: 't0', repeats: ['t1', 't2'] }]);
  expect(plan.candidates.changed).toEqual({ t0: { dbh: '44' } });
  expect(plan.plantings[0].locks).toEqual(['t0']);
  expect(plan.plantings[0].bans).toEqual([]);
  expect(plan.statements[0].candidate).toBe('t0');
  expect(plan.photos[0].candidate).toBe('t0');
  expect(idsOf(plan)).toEqual(['t0', 't3', 't4', 't5']);
  expect(idsOf(unmerge(plan, 't0').after)).toEqual(base.id);
});

test('merging a merged tree into another takes its records along', () => {
  let plan = mergeCandidates(start(), [{ keep: 't1', repeats: ['t0'], fields: {} }]).after;
  plan = mergeCandidates(plan, [{ keep: 't2', repeats: ['t1'], fields: {} }]).after;
  expect(plan.candidates.merged).toEqual([{ keep: 't2', repeats: ['t1', 't0'] }]);
});

test('removing a tree set down by hand removes the records behind it', () => {
  let plan = addCandidates(start(), [{ id: 'H1', lat: '38', lon: '-84' }]).after;
  plan = mergeCandidates(plan, [{ keep: 'H1', repeats: ['t3'], fields: {} }]).after;
  plan = removeCandidates(plan, ['H1', 't4']).after;
  expect(idsOf(plan)).toEqual(['t0', 't1', 't2', 't5']);
  expect(idsOf(restoreCandidates(plan, ['t3', 't4']).after)).toEqual(base.id);
});

test('two trees are noted once, and asked about again', () => {
  let plan = setApart(start(), ['t0', 't1', 't2']).after;
  plan = setApart(plan, ['t1', 't0']).after;
  expect(plan.candidates.apart).toEqual([
    ['t0', 't1'],
    ['t0', 't2'],
    ['t1', 't2'],
  ]);
  expect(dropApart(plan, 't1', 't0').after.candidates.apart).toHaveLength(2);
});

test('ids by hand are not taken, not even by what was removed', () => {
  const plan = removeCandidates(addCandidates(start(), [{ id: 'H2', lat: '38', lon: '-84' }]).after, [
    'H3',
  ]).after;
  expect(handIds(plan, ['H1', 't0'], 2)).toEqual(['H4', 'H5']);
});

describe('any run of edits (property)', () => {
  const ID = fc.constantFrom('t0', 't1', 't2', 't3', 'H1', 'H2');
  type Step = (plan: Plan) => ReturnType<typeof addCandidates>;
  const step: fc.Arbitrary<Step> = fc.oneof(
    ID.map(
      (id): Step =>
        (p) =>
          changeCandidates(p, [{ id, fields: { owner: 'x' } }]),
    ),
    fc.constant<Step>((p) => addCandidates(p, [{ id: handIds(p, base.id, 1)[0], lat: '38', lon: '-84' }])),
    ID.map(
      (id): Step =>
        (p) =>
          removeCandidates(p, [id]),
    ),
    fc.uniqueArray(ID, { minLength: 2, maxLength: 3 }).map(
      ([keep, ...repeats]): Step =>
        (p) =>
          mergeCandidates(p, [{ keep, repeats, fields: {} }]),
    ),
    fc.tuple(ID, ID).map(
      ([a, b]): Step =>
        (p) =>
          setApart(p, [a, b]),
    ),
    ID.map(
      (id): Step =>
        (p) =>
          unmerge(p, id),
    ),
    ID.map(
      (id): Step =>
        (p) =>
          revertCandidate(p, id),
    ),
  );
  test('holds to the schema, gives distinct ids, and is undone step by step', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        const plans = [start()];
        const changes = steps.map((s) => {
          const change = s(plans[plans.length - 1]);
          plans.push(change.after);
          return change;
        });
        const last = plans[plans.length - 1];
        expect(parsePlan(structuredClone(last), 'p').ok).toBe(true);
        const ids = idsOf(last);
        expect(new Set(ids).size).toBe(ids.length);
        changes
          .reverse()
          .forEach((change, i) => expect(inverse(change).after).toBe(plans[plans.length - 2 - i]));
      }),
      { numRuns: 200, seed: 3 },
    );
  });
});
