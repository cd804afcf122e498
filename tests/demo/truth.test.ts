/** The truth of the demo: whole, apart from the records, and not given away by them. */
import { describe, expect, test } from 'vitest';
import { KINDS } from '../../demo-data/lib/truth.ts';
import { rows, traps, truth } from './files.ts';

/** Rows of the second round: its ids follow those of the first, whose last trees the traps do not reach. */
const FIRST_ROUND = 639;
const survey = rows.slice(FIRST_ROUND).filter((r) => r['id'] > `FG-0${FIRST_ROUND}`);

test('every candidate has a kind, every kind is met and says how its trees came there', () => {
  const ids = new Set(rows.map((r) => r['id']));
  expect([...ids].filter((id) => !truth.kindOf.has(id))).toEqual([]);
  expect([...truth.kindOf.keys()].filter((id) => !ids.has(id))).toEqual([]);
  expect(new Set(truth.kindOf.values())).toEqual(new Set(Object.keys(KINDS)));
  expect(truth.kinds).toEqual(KINDS);
});

test('there are enough trees of both origins, and of every hard kind', () => {
  const planted = rows.filter((r) => truth.originOf(r['id']) === 'planted').length;
  expect(planted).toBeGreaterThan(200);
  expect(rows.length - planted).toBeGreaterThan(600);
  const met = new Map<string, number>();
  for (const kind of truth.kindOf.values()) met.set(kind, (met.get(kind) ?? 0) + 1);
  for (const [kind, n] of met) expect(n, kind).toBeGreaterThan(5);
});

test('what the traps say of origin is the truth', () => {
  for (const t of traps.filter((x) => x.expected.origin?.includes('likely planted')))
    for (const id of t.ids) expect(truth.originOf(id), id).toBe('planted');
});

describe('records do not give the answer', () => {
  test('those of the second round hold no establishment and no notes', () => {
    expect(survey.length).toBeGreaterThan(250);
    for (const r of survey)
      expect([r['establishmentMeans'], r['degreeOfEstablishment'], r['notes']], r['id']).toEqual([
        '',
        '',
        '',
      ]);
  });

  test('in the second round no word of a record is met at trees of one origin alone, but for the two marks of woodland', () => {
    for (const column of ['setting', 'regeneration', 'permission', 'identified_by', 'key_used']) {
      const by = new Map<string, Set<string>>();
      for (const r of survey)
        by.set(r[column], (by.get(r[column]) ?? new Set()).add(truth.originOf(r['id'])));
      for (const [word, origins] of by)
        if (word !== 'woodland')
          expect([...origins].sort(), `${column}: ${word}`).toEqual(['natural', 'planted']);
    }
  });

  test('ids of either origin lie among each other', () => {
    const halves = [survey.slice(0, survey.length / 2), survey.slice(survey.length / 2)];
    for (const half of halves) {
      const share = half.filter((r) => truth.originOf(r['id']) === 'planted').length / half.length;
      expect(share).toBeGreaterThan(0.35);
      expect(share).toBeLessThan(0.75);
    }
  });
});
