import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Candidates } from '../../../src/domain/candidates/candidates.ts';
import { SETTINGS } from '../../../src/domain/layers/settings.ts';
import type { Planting } from '../../../src/domain/plan/schema.ts';
import { findings } from '../../../src/domain/vetting/rules/rules.ts';
import type { FindingColumn, FindingColumns } from '../../../src/domain/vetting/rules/types.ts';
import { ratioWords, sheet } from '../../../src/domain/vetting/sheet.ts';
import { standing } from '../../../src/domain/vetting/standing.ts';
import { STANDINGS, type Vetting } from '../../../src/domain/vetting/vetting.ts';
import { qualityOf, weight } from '../../../src/domain/vetting/weight.ts';
import { builtInWeights } from '../../../src/domain/vetting/origin/weights.ts';
import { make } from '../candidates/make.ts';
import { matchColumns, measures, originOf, ruleInput, rules, site, evidenceSettings } from './make.ts';

const column = (strength: 'must' | 'prefer', answers: readonly number[], rule = 'x'): FindingColumn => ({
  rule,
  title: rule,
  strength,
  answer: Uint8Array.from(answers),
  measure: new Float64Array(answers.length),
  unit: '',
  words: null,
  limit: '',
  limits: {},
  toCheck: '',
  from: '',
  sites: null,
});
const [PASS, FAIL, UNKNOWN] = [0, 1, 2];
const ids = (n: number): string[] => Array.from({ length: n }, (_, i) => `t${i}`);
const override = (candidate: string, to: 'eligible' | 'ruled out'): Planting['overrides'][number] => ({
  candidate,
  standing: to,
  reason: 'seen by me',
  by: 'A',
  date: '2024-01-01',
});
const names = (s: Uint8Array): string[] => [...s].map((x) => STANDINGS[x]);

describe('standing', () => {
  test('must: fail rules out, unknown holds back, a fail outweighs an unknown; prefer changes nothing', () => {
    const f: FindingColumns = {
      rules: [
        column('must', [PASS, UNKNOWN, FAIL, UNKNOWN, FAIL, PASS]),
        column('must', [PASS, PASS, UNKNOWN, FAIL, PASS, UNKNOWN]),
        column('prefer', [FAIL, FAIL, FAIL, FAIL, FAIL, UNKNOWN]),
      ],
    };
    expect(names(standing(f, ids(6)).standing)).toEqual([
      'eligible',
      'needs a check',
      'ruled out',
      'ruled out',
      'ruled out',
      'needs a check',
    ]);
  });

  test('unknown is never eligible, whatever the order of rules (property)', () => {
    const answer = fc.constantFrom(PASS, FAIL, UNKNOWN);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.constantFrom('must' as const, 'prefer' as const), answer), { maxLength: 12 }),
        (list) => {
          const f = { rules: list.map(([s, a]) => column(s, [a])) };
          const back = { rules: [...f.rules].reverse() };
          const must = list.filter(([s]) => s === 'must').map(([, a]) => a);
          const truth = must.includes(FAIL)
            ? 'ruled out'
            : must.includes(UNKNOWN)
              ? 'needs a check'
              : 'eligible';
          expect(names(standing(f, ids(1)).standing)).toEqual([truth]);
          expect(names(standing(back, ids(1)).standing)).toEqual([truth]);
        },
      ),
      { numRuns: 200, seed: 10 },
    );
  });

  test('an override sets it and is marked; one for nobody is noted', () => {
    const f = { rules: [column('must', [FAIL, PASS, PASS])] };
    const s = standing(f, ids(3), [
      override('t0', 'eligible'),
      override('t1', 'eligible'),
      override('t1', 'ruled out'),
      override('zz', 'eligible'),
    ]);
    expect(names(s.standing)).toEqual(['eligible', 'ruled out', 'eligible']);
    expect([...s.overridden]).toEqual([1, 1, 0]);
    expect(s.notes.map((n) => n.what)).toEqual(['there is no candidate "zz"; its override is not used']);
  });
});

describe('weight', () => {
  const even = { match: 1, origin: 1, quality: 1 };
  const natural = { developed100: [0], building: [0] };
  const table = (ratio: number) => ({
    version: 'x',
    note: '',
    prior: 1,
    pieces: [{ piece: 'developed100', steps: [{ ratio }], note: '' }],
  });
  /** Odds 4: probability 0.8. */
  const likely = (c: Candidates) => originOf(c, natural, table(4));
  const eligible = Uint8Array.of(0);

  test('quality is the mean of the scores on record, of 4', () => {
    const c = make([{ form: 4, crown: 3, crop: 2 }, { crown: 2 }, {}, { form: 0, crown: 0, crop: 0 }]);
    expect([0, 1, 2, 3].map((i) => qualityOf(c, i))).toEqual([0.75, 0.5, NaN, 0]);
  });

  test('geometric mean of match 0.5, origin 0.8, quality 0.75', () => {
    const c = make([{ form: 4, crown: 3, crop: 2 }]);
    const w = weight(c, matchColumns([0.5], [12]), likely(c), { rules: [] }, eligible, even);
    expect(w[0]).toBeCloseTo(Math.cbrt(0.5 * 0.8 * 0.75), 12);
  });

  test('exponents weigh the parts; 0 leaves one out', () => {
    const c = make([{ form: 4, crown: 3, crop: 2 }]);
    const w = weight(c, matchColumns([0.5], [12]), likely(c), { rules: [] }, eligible, {
      match: 2,
      origin: 1,
      quality: 0,
    });
    expect(w[0]).toBeCloseTo((0.5 ** 2 * 0.8) ** (1 / 3), 12);
  });

  test('a part that is not known is left out of the mean', () => {
    const c = make([{}]);
    expect(weight(c, null, likely(c), { rules: [] }, eligible, even)[0]).toBeCloseTo(0.8, 12);
    expect(weight(c, null, likely(c), { rules: [] }, eligible, { match: 1, origin: 0, quality: 1 })[0]).toBe(
      1,
    );
  });

  test('a score of 0 comes last but does not vanish', () => {
    const c = make([{ form: 0, crown: 0, crop: 0 }]);
    const w = weight(c, matchColumns([1], [12]), likely(c), { rules: [] }, eligible, even);
    expect(w[0]).toBeCloseTo(Math.cbrt(1 * 0.8 * 0.01), 12);
  });

  test('each failed preference costs a fifth; an unknown one nothing', () => {
    const c = make([{}]);
    const f = {
      rules: [
        column('prefer', [FAIL]),
        column('prefer', [FAIL]),
        column('prefer', [UNKNOWN]),
        column('must', [FAIL]),
      ],
    };
    expect(weight(c, null, likely(c), f, eligible, even)[0]).toBeCloseTo(0.8 * 0.64, 12);
  });

  test('none for trees that are not eligible', () => {
    const c = make([{}, {}]);
    expect([...weight(c, null, originOf(c), { rules: [] }, Uint8Array.of(1, 2), even)]).toEqual([NaN, NaN]);
  });
});

test.each([
  [Math.log(3), '×3 for natural'],
  [Math.log(0.2), '×5 for planted'],
  [Math.log(1.5), '×1.5 for natural'],
  [Math.log(0.35), '×2.9 for planted'],
  [Math.log(150), '×150 for natural'],
  [0, 'even'],
  [0.001, 'even'],
])('a log ratio of %d is "%s"', (log, words) => {
  expect(ratioWords(log)).toBe(words);
});

describe('the sheet', () => {
  const overrides = [override('t1', 'eligible')];
  const c = make([
    { id: 't0', species: 'Quercus alba', accuracy: 8, form: 3, permission: 'granted', text: { setting: '' } },
    {
      id: 't1',
      species: 'Q. alba x macrocarpa',
      accuracy: 8,
      permission: 'refused',
      text: { setting: 'yard' },
    },
  ]);
  const values = {
    elevation: [300, 320],
    slope: [5, 5],
    cover: [41, 21],
    forest100: [1, 0],
    developed100: [0, 0.6],
    building: [400, 12],
    road: [250, 10],
    drivable: [250, 10],
    distance: [20, 20],
    northward: [5, 5],
    kin: [0, 0],
    setting: [-1, -1],
  };
  const planted = site({ elevation: 290, values: [12] });
  const match = matchColumns([0.06, 0.9], [13, 11.5], [0.01, 0.9]);
  const input = ruleInput(c, values, { match, sites: [planted] });
  const found = findings(input, rules());
  const s = standing(found, c.id, overrides);
  const vetting: Vetting = {
    key: 'k',
    plantingId: 'p',
    n: 2,
    measures: measures(2, values),
    provenance: {
      building: { layer: 'Buildings 2020', source: 'county', date: '2020' },
      setting: { layer: 'Settings', source: '', date: '' },
    },
    sites: [planted],
    zones: { keys: [], names: [], adjacency: null },
    settingNames: SETTINGS,
    evidence: evidenceSettings,
    weights: builtInWeights,
    match,
    spread: null,
    origin: input.origin,
    findings: found,
    standing: s.standing,
    overridden: s.overridden,
    weight: weight(c, match, input.origin, found, s.standing, { match: 1, origin: 1, quality: 1 }),
    notes: [],
  };
  const first = sheet(vetting, c, 0, { overrides });
  const second = sheet(vetting, c, 1, { overrides });

  test('who, standing, override with its reason and what it overrules', () => {
    expect([first.id, first.species, first.standing, first.override]).toEqual([
      't0',
      'Quercus alba',
      'needs a check',
      null,
    ]);
    expect([second.species, second.standing]).toEqual(['Quercus alba × Q. macrocarpa', 'eligible']);
    expect(second.override).toEqual({
      reason: 'seen by me',
      by: 'A',
      date: '2024-01-01',
      without: 'ruled out',
    });
  });

  test('findings in words and numbers, with what to check where they do not pass', () => {
    const by = (rule: string) => first.findings.find((f) => f.rule === rule);
    expect(by('elevation')).toMatchObject({
      answer: 'pass',
      measure: 10,
      unit: 'm',
      limit: 'within 150 m of the site',
      toCheck: '',
    });
    expect(by('zone')).toMatchObject({
      answer: 'unknown',
      measure: NaN,
      word: '',
      toCheck: 'load zones that hold the site',
    });
    expect(by('permission')).toMatchObject({ answer: 'pass', word: 'granted', measure: NaN });
  });

  test('evidence for and against, strongest first; its layer and date', () => {
    expect(first.evidenceFor.map((e) => e.counted)).toEqual(
      [...first.evidenceFor.map((e) => e.counted)].sort((a, b) => b - a),
    );
    const building = first.evidenceFor.find((e) => e.piece === 'building');
    expect(building).toMatchObject({
      value: 400,
      unit: 'm',
      ratio: '×2 for natural',
      provenance: { layer: 'Buildings 2020', date: '2020' },
    });
    expect(first.evidenceFor[0]).toMatchObject({
      piece: 'cover',
      word: 'closed forest',
      ratio: '×3 for natural',
    });
    expect(second.evidenceAgainst[0].counted).toBeLessThanOrEqual(
      second.evidenceAgainst.at(-1)?.counted ?? NaN,
    );
    // From the record, not from the settings layer.
    expect(second.evidenceAgainst.find((e) => e.piece === 'setting')).toMatchObject({
      word: 'yard',
      ratio: '×5 for planted',
      provenance: null,
    });
  });

  test('every piece stands on the sheet once: for, against, even or not known; but where its question does not arise', () => {
    // The second tree stands in a yard: nothing of a burial ground is to be checked.
    for (const [one, idle] of [
      [first, []],
      [second, ['ageBurialGround']],
    ] as const) {
      const all = [...one.evidenceFor, ...one.evidenceAgainst, ...one.evidenceEven, ...one.notKnown].map(
        (e) => e.piece,
      );
      expect([...all, ...idle].sort()).toEqual(vetting.origin.evidence.map((e) => e.piece).sort());
    }
  });

  test('what is not known comes in the order in which it could move the odds', () => {
    const moves = first.notKnown.map((u) => u.couldMove);
    expect(moves).toEqual([...moves].sort((a, b) => b - a));
    // Nothing else of its theme is known: the whole ratio 1/0.03 counts.
    const degree = first.notKnown.find((u) => u.piece === 'degreeOfEstablishment');
    expect(degree?.couldMove).toBeCloseTo(-Math.log(0.03), 12);
    expect(degree?.words).toBe('could move the odds up to ×33');
    // Beside closed forest (×3) and no developed land (×2), the setting "plantation" (1/50) would be the strongest of the
    // theme: from ln 3 + ln 2 / 2 to -ln 50 + ln 3 / 2 + ln 2 / 4.
    const before = Math.log(3) + Math.log(2) / 2;
    const after = -Math.log(50) + Math.log(3) / 2 + Math.log(2) / 4;
    expect(first.notKnown.find((u) => u.piece === 'setting')?.couldMove).toBeCloseTo(before - after, 12);
  });

  test('what to check next begins with what holds the tree back', () => {
    expect(first.checkNext[0]).toBe('load zones that hold the site');
    expect(new Set(first.checkNext).size).toBe(first.checkNext.length);
  });

  test('what could not turn the verdict on origin is not among what to check next', () => {
    // Likely natural: ×33 for planted would unsettle it, "no seedlings" would not.
    const toUnsettle = first.origin.logOdds - Math.log(4);
    const move = (piece: string): number => first.notKnown.find((u) => u.piece === piece)?.couldMove ?? NaN;
    expect(first.origin.verdict).toBe('likely natural');
    expect(move('degreeOfEstablishment')).toBeGreaterThan(toUnsettle);
    expect(move('regeneration')).toBeLessThan(toUnsettle);
    expect(first.checkNext.some((t) => t.includes('degree of establishment'))).toBe(true);
    expect(first.checkNext.some((t) => t.includes('seedlings'))).toBe(false);
  });

  test('match with its parts; a ring that crosses the limit is marked', () => {
    expect(first.match).toMatchObject({ match: 0.06, low: 0.01, k: 1, uncertain: true });
    expect(first.match?.variables[0]).toMatchObject({
      atCandidate: 13,
      atSite: 12,
      difference: 1,
      word: 'warmer',
      limiting: true,
    });
    expect(second.match?.uncertain).toBe(false);
    expect(second.match?.variables[0].word).toBe('colder');
  });

  test('how similar each value is to the reference, what the spread is from, parts by role', () => {
    const spread: NonNullable<Vetting['spread']> = {
      ...{ covariance: Float64Array.of(1), variables: ['Mean annual temperature'], from: 'within 2 zones' },
      ...{ basis: 'zones', zones: 2, cells: 4, kept: 1, nearlySame: [] },
      ...{
        reference: [Float64Array.of(10, 11, 12, 14)],
        low: Float64Array.of(10),
        high: Float64Array.of(14),
      },
    };
    // 13: three of four lie below it, 2 (100 - 75); 11.5: two of four.
    const told = [0, 1].map((row) => sheet({ ...vetting, spread }, c, row).match);
    expect(told.map((m) => m?.variables[0].similarity)).toEqual([50, 100]);
    expect(told[0]).toMatchObject({ from: 'within 2 zones', mess: 6, unlike: 'Mean annual temperature' });
    expect(told[0]?.groups).toEqual([{ role: 'climate', part: first.match?.d2 }]);
    expect(first.match?.variables[0].similarity).toBeNaN();
    // One site is not named where its figures stand, but stands in the list of sites.
    expect([first.match?.site, first.match?.sites.map((x) => x.match)]).toEqual(['', [0.06]]);
    expect(first.findings.every((f) => f.site === '')).toBe(true);
  });

  test('parts of the weight, missing ones shown as missing', () => {
    expect(first.weight).toBeNaN();
    expect(second.weight).toBeGreaterThan(0);
    expect(second.weightParts.map((p) => p.part)).toEqual(['match', 'origin', 'quality']);
    expect(second.weightParts[2].value).toBeNaN();
  });

  test('a tree decided by statement asks for no more evidence of origin', () => {
    const origin = originOf(c, values, undefined, [
      { candidate: 't0', origin: 'natural', reason: 'cored in 1960', by: 'B', date: '2020' },
    ]);
    const told = sheet({ ...vetting, origin }, c, 0);
    expect(told.origin.decidedBy).toBe('natural: cored in 1960 (B, 2020)');
    expect(told.checkNext.some((t) => t.includes('degree of establishment'))).toBe(false);
    expect(first.checkNext.some((t) => t.includes('degree of establishment'))).toBe(true);
  });

  test('it is plain data', () => {
    expect(structuredClone(first)).toEqual(first);
  });
});
