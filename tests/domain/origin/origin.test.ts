import * as v from 'valibot';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { OriginWeightsSchema, type OriginWeights, type Statement } from '../../../src/domain/plan/schema.ts';
import { answersOf } from '../../../src/domain/vetting/origin/answers.ts';
import { discount } from '../../../src/domain/vetting/origin/odds.ts';
import { pieces } from '../../../src/domain/vetting/origin/pieces.ts';
import { ORIGIN_VERDICTS } from '../../../src/domain/vetting/origin/types.ts';
import { builtInWeights, classesOf, weightNotes } from '../../../src/domain/vetting/origin/weights.ts';
import { make } from '../candidates/make.ts';
import { originOf } from '../vetting/make.ts';

const verdict = (o: ReturnType<typeof originOf>, i = 0): string => ORIGIN_VERDICTS[o.verdict[i]];
const flat = (...entries: Array<[string, number]>): OriginWeights => ({
  version: 'test',
  note: '',
  prior: 1,
  pieces: entries.map(([piece, ratio]) => ({ piece, steps: [{ ratio }], note: '' })),
});

describe('the built-in table', () => {
  test('holds to the schema, covers every piece and class, and has nothing to note', () => {
    expect(v.safeParse(OriginWeightsSchema, builtInWeights).success).toBe(true);
    expect(weightNotes(builtInWeights)).toEqual([]);
    for (const p of pieces.filter((x) => x.words)) {
      const words = Object.keys(builtInWeights.pieces.find((w) => w.piece === p.id)?.classes ?? {});
      expect([p.id, ...words].sort()).toEqual(
        [p.id, ...(p.words ?? []).filter((w) => w !== 'uncertain')].sort(),
      );
    }
  });
  test('every entry says where its numbers come from, and no single ratio passes ×50', () => {
    for (const w of builtInWeights.pieces) {
      expect([w.piece, w.note !== '']).toEqual([w.piece, true]);
      for (const r of [...(w.steps ?? []).map((s) => s.ratio), ...Object.values(w.classes ?? {})]) {
        expect(Math.abs(Math.log(r))).toBeLessThanOrEqual(Math.log(50) + 1e-9);
      }
    }
  });
  test('further from buildings and roads, and less developed, never speaks more for planting', () => {
    for (const [piece, sign] of [
      ['building', 1],
      ['road', 1],
      ['developed100', -1],
      ['developed500', -1],
      ['buildings100', -1],
      ['roadRow', -1],
      ['range', -1],
    ] as const) {
      const ratios = builtInWeights.pieces.find((w) => w.piece === piece)?.steps?.map((s) => s.ratio) ?? [];
      expect([piece, ...ratios]).toEqual([piece, ...[...ratios].sort((a, b) => sign * (a - b))]);
    }
  });
});

describe('steps', () => {
  const building = builtInWeights.pieces.find((w) => w.piece === 'building');
  test.each([
    [0, 0.2],
    [9.99, 0.2],
    [10, 0.35],
    [30, 1],
    [99, 1],
    [100, 1.5],
    [5_000, 2],
  ])('%d m gives %d', (value, ratio) => {
    expect(Math.exp(answersOf(building, null).logOf(value))).toBeCloseTo(ratio, 12);
  });
  test('not known, no weight, a class that is not in the table: even', () => {
    expect(answersOf(building, null).logOf(NaN)).toBe(0);
    expect(answersOf(undefined, null).logOf(5)).toBe(0);
    expect(answersOf({ piece: 'x', note: '', classes: { a: 3 } }, ['toString']).logOf(0)).toBe(0);
  });
});

describe('odds', () => {
  test('within a theme the strongest counts in full, the next half, then a quarter', () => {
    // ln 8 = 2.079, ln 1/4 = -1.386, ln 2 = 0.693 in "people": 8 x 4^(-1/2) x 2^(1/4) = 4 x 1.1892 = 4.7568.
    const o = originOf(
      make([{}]),
      { building: [1], buildings100: [1], roadEdge: [1] },
      flat(['building', 2], ['buildings100', 8], ['road', 0.25]),
    );
    expect(Math.exp(o.logOdds[0])).toBeCloseTo(4 * 2 ** 0.25, 12);
    const counted = o.evidence
      .filter((e) => ['building', 'buildings100', 'road'].includes(e.piece))
      .map((e) => Math.exp(e.counted[0]));
    expect(counted[0]).toBeCloseTo(2 ** 0.25, 12);
    expect(counted[1]).toBeCloseTo(8, 12);
    expect(counted[2]).toBeCloseTo(0.5, 12);
  });

  test('themes do not discount one another', () => {
    const o = originOf(
      make([{}]),
      { developed100: [0], building: [1], range: [0] },
      flat(['developed100', 3], ['building', 0.2], ['range', 1.5]),
    );
    expect(Math.exp(o.logOdds[0])).toBeCloseTo(0.9, 12);
  });

  test('the prior counts', () => {
    const o = originOf(
      make([{}]),
      { developed100: [0], building: [1] },
      { ...flat(['developed100', 2]), prior: 0.25 },
    );
    expect(o.probability[0]).toBeCloseTo(1 / 3, 12);
  });

  test('order does not matter but for equal strength, and the sum never passes the plain sum (property)', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { maxLength: 7 }), (logs) => {
        const counted = new Float64Array(logs.length);
        discount(logs, counted);
        const sorted = [...logs].sort((a, b) => Math.abs(b) - Math.abs(a));
        const byHand = sorted.map((x, k) => x / 2 ** k);
        // With a tie of opposite signs the hand-made order may differ; ties are drawn almost never.
        fc.pre(new Set(logs.map(Math.abs)).size === logs.length);
        expect([...counted].reduce((a, b) => a + b, 0)).toBeCloseTo(
          byHand.reduce((a, b) => a + b, 0),
          9,
        );
        counted.forEach((c, i) => expect(Math.abs(c)).toBeLessThanOrEqual(Math.abs(logs[i])));
      }),
      { numRuns: 300, seed: 9 },
    );
  });
});

describe('verdict', () => {
  const two = { developed100: [0], building: [1] };
  test.each([
    [4, 'likely natural'],
    [3.9, 'unsettled'],
    [0.26, 'unsettled'],
    [0.25, 'likely planted'],
  ])('odds of %d: %s', (odds, word) => {
    // Odds 4 are the probability 0.80, odds 1/4 are 0.20; both ends belong to the verdict.
    expect(verdict(originOf(make([{}]), two, flat(['developed100', odds], ['building', 1])))).toBe(word);
  });

  test('one theme is not enough, whatever the number', () => {
    const o = originOf(make([{}]), { building: [1], buildings100: [0], road: [1] }, flat(['building', 1000]));
    expect(o.probability[0]).toBeGreaterThan(0.99);
    expect(o.themes[0]).toBe(1);
    expect(verdict(o)).toBe('not enough evidence');
  });

  test('an even answer is a measurement all the same', () => {
    const o = originOf(make([{}]), { building: [50], developed100: [0.01] });
    expect(o.themes[0]).toBe(2);
  });

  test('a forest tree far from people, a street tree, and a tree in the open with nothing else', () => {
    const o = originOf(make([{}, {}, {}]), {
      cover: [41, 23, NaN],
      forest100: [1, 0, NaN],
      developed100: [0, 0.9, NaN],
      developed500: [0, 0.7, NaN],
      building: [400, 12, NaN],
      buildings100: [0, 6, NaN],
      road: [300, 6, NaN],
      roadRow: [0, 7, NaN],
      range: [0, 0, NaN],
    });
    expect([0, 1, 2].map((i) => verdict(o, i))).toEqual([
      'likely natural',
      'likely planted',
      'not enough evidence',
    ]);
  });
});

describe('statements', () => {
  const says = (
    candidate: string,
    origin: 'natural' | 'planted',
    date: string,
    by = 'A. Owner',
  ): Statement => ({ candidate, origin, reason: 'told at the gate', by, date });
  const street = { developed100: [0.9, 0.9], building: [5, 5], roadRow: [8, 8] };
  test('a statement decides, names who and when, and leaves the evidence as it is', () => {
    const plain = originOf(make([{}, {}]), street);
    const o = originOf(make([{}, {}]), street, builtInWeights, [says('t0', 'natural', '2024-05-01')]);
    expect([verdict(o, 0), verdict(o, 1)]).toEqual(['likely natural', 'likely planted']);
    expect([...o.decided]).toEqual([1, 0]);
    expect(o.decidedBy).toEqual(['natural: told at the gate (A. Owner, 2024-05-01)', '']);
    expect(o.probability[0]).toBe(1);
    expect(o.logOdds[0]).toBe(plain.logOdds[0]);
  });
  test('it decides where there is no evidence at all', () => {
    expect(verdict(originOf(make([{}]), {}, builtInWeights, [says('t0', 'planted', '')]))).toBe(
      'likely planted',
    );
  });
  test('of two the later by date decides and the other is named', () => {
    const o = originOf(make([{}]), {}, builtInWeights, [
      says('t0', 'planted', '2024-06-01', 'B'),
      says('t0', 'natural', '2023-01-01', 'C'),
    ]);
    expect(verdict(o)).toBe('likely planted');
    expect(o.decidedBy[0]).toBe(
      'planted: told at the gate (B, 2024-06-01); earlier said otherwise: natural: told at the gate (C, 2023-01-01)',
    );
  });
});

describe('tables of users', () => {
  test('rows to show', () => {
    const rows = classesOf(builtInWeights);
    expect(rows.map((r) => r.piece)).toEqual(pieces.map((p) => p.id));
    expect(rows.find((r) => r.piece === 'building')?.classes[1]).toEqual({
      word: '',
      from: 10,
      below: 30,
      ratio: 0.35,
    });
    expect(rows.find((r) => r.piece === 'inventory')?.classes.map((c) => c.word)).toEqual([
      'listed',
      'not listed',
    ]);
  });
  test('what cannot be used is said', () => {
    const notes = weightNotes({
      version: 'mine',
      note: '',
      prior: 1,
      pieces: [
        { piece: 'moon', steps: [{ ratio: 2 }], note: '' },
        {
          piece: 'building',
          steps: [{ below: 30, ratio: 1 }, { below: 10, ratio: 2 }, { ratio: 3 }],
          note: '',
        },
        { piece: 'road', classes: { far: 2 }, note: '' },
        { piece: 'setting', classes: { swamp: 2 }, note: '' },
      ],
    }).map((n) => n.what);
    expect(notes.slice(0, 3)).toEqual([
      'there is no piece of evidence "moon"; its weights are not used',
      'step 2 of "building" cannot be reached: steps must rise, and only the last is open',
      '"road" needs steps; it counts ×1 until then',
    ]);
    expect(notes[3]).toMatch(/^"setting" has no class "swamp"/);
    expect(notes.at(-1)).toMatch(/^there are no weights for developed100, .*, range: they count ×1 until /);
  });
});
