import { describe, expect, it } from 'vitest';
import { rng, type Random } from '../../../src/domain/base/rng.ts';
import { chiSquareQuantile, normalQuantile } from '../../../src/domain/base/statistics.ts';
import type { Transform, Unit } from '../../../src/domain/layers/definition.ts';
import { distance } from '../../../src/domain/vetting/match/distance.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';
import { pooledCovariance } from '../../../src/domain/vetting/match/pooledCovariance.ts';
import { spreadCheck, type CheckedCells } from '../../../src/domain/vetting/match/spreadCheck.ts';
import { transform } from '../../../src/domain/vetting/match/transform.ts';
import type { SpreadCheck } from '../../../src/domain/vetting/match/types.ts';

interface Column {
  readonly id: string;
  readonly unit?: Unit;
  readonly transform?: Transform;
  /** Value of a cell of a zone. */
  readonly value: (zone: number, normal: () => number, random: Random) => number;
}

/** Cells of zones of the given sizes, zone by zone. */
function cellsOf(columns: readonly Column[], sizes: readonly number[], seed: number): CheckedCells {
  const random = rng(seed);
  const normal = (): number => normalQuantile(random());
  const zoneOf = Int32Array.from(sizes.flatMap((n, z) => new Array<number>(n).fill(z)));
  const plain = columns.map(({ value }) => Float64Array.from(zoneOf, (z) => value(z, normal, random)));
  const variables = columns.map((c) => ({
    id: c.id,
    title: `The ${c.id}`,
    unit: c.unit ?? 'mm',
    transform: c.transform ?? 'identity',
    period: '',
    words: ['more', 'less'] as const,
  }));
  return {
    variables,
    plain,
    values: plain.map((x, v) => transform(x, variables[v].transform).values),
    zoneOf,
    zones: sizes.length,
    names: sizes.map((_, z) => `zone ${z}`),
  };
}
const ownSpread = (c: CheckedCells): Float64Array => pooledCovariance(c.values, c.zoneOf, c.zones).covariance;
function check(
  c: CheckedCells,
  basis: 'zones' | 'circle' | 'typed' = 'zones',
  s = ownSpread(c),
): SpreadCheck {
  const found = spreadCheck(c, { covariance: s, basis });
  if (!found) throw new Error('no pairs');
  return found;
}
const observed = (c: SpreadCheck): number[] => c.shares.map((s) => s.observed);

const warmth: Column = { id: 'warmth', unit: '°C', value: (z, normal) => 9 + z + 0.5 * normal() };
const height: Column = { id: 'height', unit: 'm', value: (z, normal) => 500 + 90 * z + 40 * normal() };
const rain: Column = { id: 'rain', value: (z, normal) => 800 * Math.exp(0.2 * z + 0.8 * normal()) };
const SIZES = [1500, 1500, 1000, 1500];

describe('shares of pairs', () => {
  it.each([1, 2, 3])(
    'are those of all pairs of each zone, weighed as the zone counts in S, seed %i',
    (seed) => {
      // Zones of very different size and spread: another weight would show.
      const varied: Column = { id: 'a', value: (z, normal) => (1 + 4 * z) * normal() };
      const c = cellsOf([varied, height], [220, 60], seed);
      const { low, high } = {
        low: new Float64Array(2).fill(-Infinity),
        high: new Float64Array(2).fill(Infinity),
      };
      const m = metric(ownSpread(c), ['a', 'b']);
      const want = [0, 0, 0];
      for (const [from, to] of [
        [0, 220],
        [220, 280],
      ]) {
        const under = [0, 0, 0];
        for (let i = from; i < to; i++) {
          const at = Float64Array.from(c.values, (x) => x[i]);
          const others = c.values.map((x) => x.slice(from, to));
          distance(m, at, others, low, high).d2.forEach((d2, j) => {
            if (from + j !== i)
              [0.5, 0.8, 0.95].forEach((p, s) => (under[s] += d2 <= chiSquareQuantile(p, 2) ? 1 : 0));
          });
        }
        const n = to - from;
        under.forEach((u, s) => (want[s] += ((n - 1) / 278) * (u / (n * (n - 1)))));
      }
      const found = check(c);
      expect(found.pairs).toBe(20_000);
      // Four standard errors of a share of 20,000 pairs.
      observed(found).forEach((share, s) =>
        expect(Math.abs(share - want[s]), `${share} ${want[s]}`).toBeLessThan(4 * Math.sqrt(0.25 / 20_000)),
      );
    },
  );

  it.each([1, 2, 3, 4])(
    'of normal variables are as they should be, and nothing is advised, seed %i',
    (seed) => {
      const mixed: Column = { id: 'mixed', value: (z, normal) => 70 - 3 * z + normal() };
      const found = check(cellsOf([warmth, height, mixed], SIZES, seed));
      expect(found.shares.map((s) => s.expected)).toEqual([0.5, 0.8, 0.95]);
      for (const s of found.shares) expect(Math.abs(s.observed - s.expected)).toBeLessThan(0.02);
      expect([found.advice, found.log]).toEqual([[], []]);
    },
  );

  it.each([1, 2, 3, 4, 5, 6])('of few cells are not taken for more than they are, seed %i', (seed) => {
    expect(check(cellsOf([warmth, height, rain].slice(0, 2), [35], seed), 'circle').advice).toEqual([]);
  });

  it('are of no more pairs than there are, and of none without two cells in a zone', () => {
    expect(check(cellsOf([warmth], [30, 3, 1], 1)).pairs).toBe(435 + 3);
    const lonely = cellsOf([warmth], [1, 1, 0], 1);
    expect(spreadCheck(lonely, { covariance: Float64Array.of(1), basis: 'zones' })).toBeNull();
    const none = cellsOf([warmth], [], 1);
    expect(spreadCheck(none, { covariance: Float64Array.of(1), basis: 'typed' })).toBeNull();
  });

  it('are the same at every asking', () => {
    const c = cellsOf([warmth, rain], SIZES, 5);
    expect(check(c)).toEqual(check(c));
  });
});

describe('a skewed variable', () => {
  it.each([1, 2, 3, 4])('is named, with what its logarithm does for the shares, seed %i', (seed) => {
    const c = cellsOf([warmth, rain, height], SIZES, seed);
    const before = check(c);
    expect(before.log).toEqual(['rain']);
    expect(before.advice).toHaveLength(1);
    const said =
      /^The rain is skewed: comparing its logarithm brings the (\d+) % share from (\d+) % to (\d+) %\.$/.exec(
        before.advice[0],
      );
    if (!said) throw new Error(before.advice[0]);
    const s = [50, 80, 95].indexOf(Number(said[1]));
    expect(Math.round(100 * before.shares[s].observed)).toBe(Number(said[2]));
    // Done as advised, it is so, and nothing more is.
    const after = check(cellsOf([warmth, { ...rain, transform: 'log' }, height], SIZES, seed));
    expect(Math.round(100 * after.shares[s].observed)).toBe(Number(said[3]));
    expect([after.advice, after.log]).toEqual([[], []]);
  });

  it('comes with the others that are, the one that helps most first', () => {
    const snow: Column = { id: 'snow', value: (_, normal) => 300 * Math.exp(0.9 * normal()) };
    const mild: Column = { id: 'mild', value: (_, normal) => 300 * Math.exp(0.7 * normal()) };
    const found = check(cellsOf([warmth, mild, snow, height], SIZES, 3));
    expect(found.log).toEqual(['snow', 'mild']);
    expect(found.advice).toHaveLength(1);
    expect(found.advice[0]).toMatch(/^The snow and The mild are skewed: comparing their logarithms brings/);
    const after = cellsOf(
      [warmth, { ...mild, transform: 'log' }, { ...snow, transform: 'log' }, height],
      SIZES,
      3,
    );
    expect(check(after).advice).toEqual([]);
  });

  it('among many others that are skewed too is named with them', () => {
    const many = Array.from({ length: 12 }, (_, v): Column => {
      return { id: `m${v}`, value: (_z, normal) => 300 * Math.exp(0.9 * normal()) };
    });
    const c = cellsOf(many, SIZES, 6);
    const { log } = check(c);
    expect(log.length).toBeGreaterThan(6);
    const mended = cellsOf(
      many.map((m) => (log.includes(m.id) ? { ...m, transform: 'log' as const } : m)),
      SIZES,
      6,
    );
    const gap = (s: SpreadCheck): number =>
      Math.max(...s.shares.map((x) => Math.abs(x.observed - x.expected)));
    expect(gap(check(mended))).toBeLessThan(gap(check(c)) / 2);
  });

  it('and another that goes along with it are named together', () => {
    const year: Column = { id: 'year', value: (z, normal) => 800 * Math.exp(0.2 * z + 0.8 * normal()) };
    const c = cellsOf([year, year, height], SIZES, 8);
    const noise = cellsOf([height], SIZES, 9).plain[0].map((x) => Math.exp((x % 10) / 40));
    const plain = [c.plain[0], c.plain[0].map((x, i) => 0.6 * x * noise[i]), c.plain[2]];
    const twins = { ...c, plain, values: plain };
    expect(new Set(check(twins).log)).toEqual(new Set(['year']));
    expect(check(twins).log).toHaveLength(2);
  });

  it('has no logarithm where a value is zero or less, or where the zero of its unit is set by agreement', () => {
    const shifted: Column = { ...rain, value: (z, n, r) => rain.value(z, n, r) - 400 };
    const degrees: Column = { ...rain, unit: '°C' };
    for (const column of [shifted, degrees]) {
      const found = check(cellsOf([warmth, column], SIZES, 2));
      expect(found.log).toEqual([]);
      expect(found.advice.length).toBeGreaterThan(0);
    }
  });
});

describe('where no logarithm helps', () => {
  it('zones that differ in how varied they are, are named, with the direction of both ends', () => {
    const varied: Column = { id: 'varied', value: (z, normal) => 1e4 * z + [5, 1, 2, 9][z] * normal() };
    const found = check(
      cellsOf([varied, { ...height, value: (z, n) => varied.value(z, n, () => 0) }], SIZES, 1),
    );
    expect(found.log).toEqual([]);
    expect(found.advice.at(-1)).toBe(
      'Zones differ in how varied they are, zone 3 the most and zone 1 the least: the match is cautious in a varied zone and optimistic in a uniform one.',
    );
    const beyond = (s: number): string => `${Math.round(100 * (1 - observed(found)[s]))} %`;
    expect(observed(found)[0]).toBeGreaterThan(0.53);
    expect(observed(found)[2]).toBeLessThan(0.92);
    expect(found.advice).toContain(
      `A match of 0.50 is optimistic here: only ${beyond(0)} of pairs inside one zone differ by more.`,
    );
    expect(found.advice).toContain(
      `A match of 0.05 is cautious here: ${beyond(2)} of pairs inside one zone differ by more.`,
    );
  });

  it('heavy tails of every zone are told from that; in a circle the words are of the circle', () => {
    // Student's t with 2 degrees of freedom, on both sides of zero.
    const t: Column = {
      id: 't',
      value: (_, normal) => normal() / Math.sqrt((normal() ** 2 + normal() ** 2) / 2),
    };
    const found = check(cellsOf([t, { ...t, id: 'u' }], [4000], 4), 'circle');
    expect(found.advice.at(-1)).toMatch(/^Differences have heavier tails than in a normal distribution/);
    expect(found.advice[0]).toContain('of pairs inside the circle differ by more');
  });

  it('two kinds of places and nothing between have lighter tails', () => {
    const two: Column = {
      id: 'two',
      value: (_, normal, random) => (random() < 0.5 ? -1 : 1) + 0.01 * normal(),
    };
    expect(check(cellsOf([two], [3000], 1)).advice.at(-1)).toMatch(/^Differences have lighter tails/);
  });
});

describe('deviations typed in', () => {
  const columns = [warmth, height];
  it('as the zones have them are no news', () => {
    const found = check(cellsOf(columns, SIZES, 1), 'typed', Float64Array.of(0.25, 0, 0, 1600));
    expect([found.advice, found.log]).toEqual([[], []]);
  });

  it('far from the zones are named with their ratio, and what a match is worth then', () => {
    const c = cellsOf(columns, SIZES, 1);
    const own = ownSpread(c);
    const found = check(c, 'typed', Float64Array.of(own[0], 0, 0, own[3] / 4));
    expect(found.advice).toEqual([
      `By the deviations typed in, ${Math.round(100 * (1 - observed(found)[2]))} % of pairs inside one zone match by less than 0.05, where 5 % would be ordinary.`,
      'The height: the deviation typed in is 0.50 times that of places of one zone.',
    ]);
  });

  it('leave out that variables go together', () => {
    const same: Column = { id: 'same', unit: 'm', value: (_, normal) => 40 * normal() };
    const c = cellsOf([same, same], SIZES, 1);
    const twin = { ...c, values: [c.values[0], c.values[0].map((x, i) => x + 0.1 * c.values[1][i])] };
    const found = check(twin, 'typed', Float64Array.of(1600, 0, 0, 1600));
    expect(found.advice[1]).toContain('The variables go together inside a zone');
  });

  it('of a variable that does not vary within zones say so', () => {
    const flat: Column = { id: 'flat', unit: 'm', value: (z) => 100 * z };
    const found = check(cellsOf([warmth, flat], SIZES, 1), 'typed', Float64Array.of(0.25, 0, 0, 1600));
    expect(found.advice[1]).toBe('The flat is the same throughout each zone.');
  });
});
