/**
 * Verdicts on patterns of known making. Seeds are fixed and in the names of the tests; figures are printed. Random patterns
 * are looked at by sequential sampling, which the last test holds against all 999 simulations.
 */
import { describe, expect, it } from 'vitest';
import { rng, shuffle, type Random } from '../../../../src/domain/base/rng.ts';
import { pattern } from '../../../../src/domain/candidates/pattern/pattern.ts';
import type { PlaneWindow } from '../../../../src/domain/candidates/pattern/types.ts';
import { along, places, planted, rectangle, scattered, type Places } from './patterns.ts';

interface Tally {
  regular: number;
  clustered: number;
  random: number;
  'too few': number;
  /** Row tests with p < 0.01. */
  rows: number;
}

/** Shares of verdicts over patterns. A pattern whose quick verdict is "random" has p >= 0.01 in both tests. */
function tally(
  count: number,
  random: Random,
  make: (r: Random) => Places,
  window: PlaneWindow | null,
): Tally {
  const out = { regular: 0, clustered: 0, random: 0, 'too few': 0, rows: 0 };
  for (let i = 0; i < count; i++) {
    const { x, y } = make(random);
    const quick = pattern(x, y, window, { quick: true });
    out[quick.verdict] += 1 / count;
    if (quick.verdict !== 'regular') continue;
    if ((pattern(x, y, window).rows?.p ?? 1) < 0.01) out.rows += 1 / count;
  }
  return out;
}
const print = (name: string, t: Tally): void => {
  const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
  console.log(
    `${name}: row test ${percent(t.rows)}, regular ${percent(t.regular)}, clustered ${percent(t.clustered)}`,
  );
};

describe('false alarms', () => {
  it('of the row test are 0.5 to 1.5 % on 2,000 random patterns of 25 in a known window (seed 101)', () => {
    const found = tally(2000, rng(101), (r) => scattered(r, 25, 150, 100), rectangle(150, 100));
    print('random in a known window', found);
    expect(found.rows).toBeGreaterThan(0.005);
    expect(found.rows).toBeLessThan(0.015);
    expect(found.regular).toBeLessThan(0.025);
    expect(found.clustered).toBeLessThan(0.015);
  }, 60_000);

  it('stay few where the window is drawn about the trees (seed 102)', () => {
    for (const [n, w, h] of [
      [9, 100, 100],
      [25, 150, 100],
      [25, 300, 40],
    ] as const) {
      const found = tally(300, rng(102), (r) => scattered(r, n, w, h), null);
      print(`${n} random on ${w} x ${h}, window drawn`, found);
      expect(found.regular).toBeLessThan(0.04);
      expect(found.clustered).toBeLessThan(0.03);
    }
  }, 60_000);

  it('stay few for natural trees along a stream, straight or bent (seed 103)', () => {
    const lines: Record<string, (s: number) => readonly [number, number]> = {
      straight: (s) => [240 * s, 0],
      bow: (s) => [95 * Math.cos(Math.PI * s), 95 * Math.sin(Math.PI * s)],
      'double bend': (s) => [240 * s, 25 * Math.sin(2 * Math.PI * s)],
    };
    for (const [name, line] of Object.entries(lines))
      for (const n of [11, 20]) {
        const found = tally(150, rng(103), (r) => along(r, n, 5, line), null);
        print(`${n} along a stream, ${name}`, found);
        expect(found.regular).toBeLessThan(0.05);
      }
  }, 60_000);
});

describe('power', () => {
  it.each([
    ['square grid', [5, 5], [10, 10], 0],
    ['triangular grid', [5, 5], [10, 5 * Math.sqrt(3)], 0.5],
    ['rows, twice as wide apart', [5, 5], [10, 20], 0],
    ['three rows, 2.5 times as wide apart', [8, 3], [10, 25], 0],
    ['one row', [25, 1], [10, 10], 0],
  ] as const)(
    'on %s: 95 %% at least of 25 trees with a jitter of up to 15 %% of the spacing (seed 104)',
    (name, counts, steps, shift) => {
      const ground = rectangle((counts[0] + shift) * steps[0], counts[1] * steps[1]);
      for (const window of [ground, null]) {
        const found = tally(window ? 40 : 20, rng(104), (r) => planted(r, counts, steps, shift), window);
        print(`${name}, window ${window ? 'known' : 'drawn'}`, found);
        expect(found.rows).toBeGreaterThanOrEqual(0.95);
        expect(found.regular).toBeGreaterThanOrEqual(0.95);
      }
    },
    60_000,
  );

  it('shows a planted row of 11 trees 12 m apart, and not 11 natural trees along a line (seed 105)', () => {
    const exact = planted(rng(105), [11, 1], [12, 12], 0, 0);
    const found = pattern(exact.x, exact.y, null);
    expect([found.verdict, found.windowFrom, found.rows?.order]).toEqual(['regular', 'line', 2]);
    const jittered = tally(40, rng(105), (r) => planted(r, [11, 1], [12, 12]), null);
    expect(jittered.regular).toBeGreaterThanOrEqual(0.95);
    const natural = along(rng(105), 11, 4, (s) => [132 * s, 0]);
    expect(pattern(natural.x, natural.y, null).verdict).toBe('random');
  });

  it('tells clusters, and a planted bed of clusters in rows as planted (seed 106)', () => {
    const random = rng(106);
    const mothers = scattered(random, 5, 200, 200);
    const round = places(Array.from({ length: 30 }, (_, i) => [mothers.x[i % 5] + 15 * random(), mothers.y[i % 5] + 15 * random()])); // prettier-ignore
    expect(pattern(round.x, round.y, rectangle(220, 220)).verdict).toBe('clustered');
    // Rows 60 m apart, trees 4 m apart in the row: the mean nearest distance is far under chance.
    const rows = planted(random, [10, 3], [4, 60]);
    const found = pattern(rows.x, rows.y, rectangle(40, 180));
    expect(found.plain.R).toBeLessThan(1);
    expect([found.verdict, found.rows?.order]).toEqual(['regular', 2]);
  });
});

describe('a pattern', () => {
  it('is the same in whatever order the trees come (seed 107)', () => {
    const { x, y } = scattered(rng(107), 20, 100, 60);
    const order = shuffle(Array.from(x.keys()), rng(1));
    const window = rectangle(100, 60);
    for (const w of [window, null])
      expect(pattern(x.map((_, i) => x[order[i]]), y.map((_, i) => y[order[i]]), w)).toEqual(pattern(x, y, w)); // prettier-ignore
  });

  it('of fewer than 7 places is too few, repeated places not counted; its distances are told all the same', () => {
    const six = places([[0, 0], [10, 0], [20, 3], [5, 9], [14, 12], [3, 20]]); // prettier-ignore
    const seven = places([...Array.from(six.x, (v, i) => [v, six.y[i]] as const), [3, 20]]);
    for (const { x, y } of [six, seven]) {
      const found = pattern(x, y, null);
      expect([found.verdict, found.rows, found.simulations]).toEqual(['too few', null, 0]);
      expect(found.plain.R).toBeGreaterThan(0);
    }
    for (const two of [
      places([
        [0, 0],
        [10, 0],
      ]),
      places([
        [5, 5],
        [5, 5],
      ]),
    ])
      // prettier-ignore
      expect(pattern(two.x, two.y, null).verdict).toBe('too few');
  });

  it('of trees on record that keep apart is no more regular than chance leaves such records (seed 108)', () => {
    // Random trees of a wood, of which no two nearer than 5 m are on record.
    const thinned = (r: Random): Places => {
      const kept: [number, number][] = [];
      for (let i = 0; i < 90; i++) {
        const at: [number, number] = [100 * r(), 100 * r()];
        if (kept.every((k) => Math.hypot(k[0] - at[0], k[1] - at[1]) >= 5)) kept.push(at);
      }
      return places(kept);
    };
    const random = rng(108);
    let [regular, taken] = [0, 0];
    for (let i = 0; i < 25; i++) {
      const { x, y } = thinned(random);
      if (pattern(x, y, null, { quick: true, apart: 5 }).verdict === 'regular') regular++;
      if (pattern(x, y, null, { quick: true }).verdict === 'regular') taken++;
    }
    expect(regular).toBeLessThanOrEqual(2);
    // Without the allowance most of them would be.
    expect(taken).toBeGreaterThan(12);
  });

  it('has the same quick verdict as from all simulations (seed 109)', () => {
    const random = rng(109);
    for (let i = 0; i < 45; i++) {
      const n = 7 + (i % 20);
      const kinds = [
        scattered(random, n, 100, 70),
        planted(random, [n, 1], [10, 10], 0, 0.5),
        planted(random, [5, 4], [10, 14], 0, 0.4),
      ];
      const { x, y } = kinds[i % 3];
      expect(pattern(x, y, null, { quick: true }).verdict).toBe(pattern(x, y, null).verdict);
    }
  });
});
