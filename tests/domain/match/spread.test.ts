import { describe, expect, it } from 'vitest';
import type { Spread } from '../../../src/domain/vetting/match/types.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import { normalQuantile } from '../../../src/domain/base/statistics.ts';
import { chooseBasis, completeCells, zonesTooSmall } from '../../../src/domain/vetting/match/chooseBasis.ts';
import type { Basis } from '../../../src/domain/vetting/match/chooseBasis.ts';
import { spread } from '../../../src/domain/vetting/match/spread.ts';
import { transform } from '../../../src/domain/vetting/match/transform.ts';

const ZONES: Basis = { basis: 'zones', zones: 2, from: 'within 2 zones' };

function spreadOf(columns: readonly number[][], zoneOf: readonly number[], zones = 2): Spread {
  const r = spread({
    variables: columns.map((_, i) => `v${i}`),
    values: columns.map((c) => Float64Array.from(c)),
    zoneOf: Int32Array.from(zoneOf),
    zones,
    basis: ZONES,
  });
  if (!r.ok) throw new Error(r.failure.what);
  return r.value;
}

describe('pooled within-zone covariance', () => {
  // 15 times the four cells (0, 0) (2, 0) (0, 2) (2, 2) in zone 0, and (10, 5) (12, 7) twice over in zone 1.
  const x = Array.from({ length: 15 }, () => [0, 2, 0, 2, 10, 12, 10, 12]).flat();
  const y = Array.from({ length: 15 }, () => [0, 0, 2, 2, 5, 7, 5, 7]).flat();
  const zone = Array.from({ length: 15 }, () => [0, 0, 0, 0, 1, 1, 1, 1]).flat();

  it('by hand: each cell lies 1 from its zone mean; 120 / (120 - 2), and half of it shared by x and y', () => {
    const s = spreadOf([x, y], zone);
    expect(s.covariance[0]).toBeCloseTo(120 / 118, 12);
    expect(s.covariance[3]).toBeCloseTo(120 / 118, 12);
    // Zone 0: products 1, -1, -1, 1 cancel; zone 1: all 1.
    expect(s.covariance[1]).toBeCloseTo(60 / 118, 12);
    expect(s.covariance[2]).toBe(s.covariance[1]);
    expect([...s.low, ...s.high]).toEqual([0, 0, 12, 7]);
    expect(s).toMatchObject({
      cells: 120,
      zones: 2,
      basis: 'zones',
      from: 'within 2 zones',
      kept: 2,
      nearlySame: [],
    });
  });

  it('does not see how far the zones lie apart', () => {
    const far = x.map((v, i) => v + (zone[i] === 1 ? 1e6 : 0));
    const s = spreadOf([far, y], zone);
    spreadOf([x, y], zone).covariance.forEach((c, i) => expect(s.covariance[i]).toBeCloseTo(c, 9));
  });

  it('leaves out cells with a missing variable, and zones without a complete cell', () => {
    const s = spreadOf(
      [
        [...x, NaN, 99, 1],
        [...y, 1, NaN, NaN],
      ],
      [...zone, 0, 1, 2],
      3,
    );
    expect(s).toMatchObject({ cells: 120, zones: 2 });
    expect(s.covariance[0]).toBeCloseTo(120 / 118, 12);
    expect(s.high[0]).toBe(12);
  });

  it('says which variables are nearly the same, and drops the component', () => {
    const s = spreadOf([x, y, x.map((v) => 3 * v + 5)], zone);
    expect(s.kept).toBe(2);
    expect(s.nearlySame).toEqual(['v0 and v2 are nearly the same in this area']);
    const third = spreadOf([x, y, x.map((v, i) => v + y[i])], zone);
    expect(third.kept).toBe(2);
    expect(third.nearlySame).toEqual(['v0, v1 and v2 nearly determine one another in this area']);
    const two = spreadOf([x, y, x.map((v) => -v), y.map((v) => v / 9)], zone);
    expect(two.kept).toBe(2);
    expect(two.nearlySame).toEqual([
      'v0 and v2 are nearly the same in this area',
      'v1 and v3 are nearly the same in this area',
    ]);
    const three = spreadOf([x, x.map((v) => 2 * v), y, x.map((v) => 7 - v)], zone);
    expect(three.kept).toBe(2);
    expect(three.nearlySame).toEqual(['v0, v1 and v3 are nearly the same in this area']);
  });

  it('recovers the covariance of 20 000 normal cells in 10 zones, seed 4', () => {
    const random = rng(4);
    const z = (): number => normalQuantile(random());
    const [a, b, zones]: [number[], number[], number[]] = [[], [], []];
    for (let i = 0; i < 20_000; i++) {
      const [p, q] = [z(), z()];
      a.push(8 + (i % 10) + 0.5 * p);
      b.push(900 - 40 * (i % 10) + 60 * (0.6 * p + 0.8 * q)); // correlation 0.6
      zones.push(i % 10);
    }
    const s = spreadOf([a, b], zones, 10);
    // Standard error of a variance is S sqrt(2/n), 1 %; four of them.
    expect(Math.abs(s.covariance[0] / 0.25 - 1)).toBeLessThan(0.04);
    expect(Math.abs(s.covariance[3] / 3600 - 1)).toBeLessThan(0.04);
    expect(Math.abs(s.covariance[1] / (0.6 * 0.5 * 60) - 1)).toBeLessThan(0.06);
  });
});

describe('a spread that cannot be had', () => {
  const cells = (columns: readonly number[][], zoneOf: number[]): ReturnType<typeof spread> =>
    spread({
      variables: columns.map((_, i) => `v${i}`),
      values: columns.map((c) => Float64Array.from(c)),
      zoneOf: Int32Array.from(zoneOf),
      zones: 2,
      basis: ZONES,
    });
  const forty = Array.from({ length: 40 }, (_, i) => i);

  it('names a variable that is the same throughout each zone, though the zones differ', () => {
    // 0.1 + 0.2 and its like would leave rounding behind a plain mean: the value must still count as constant.
    const r = cells(
      [forty, forty.map((i) => 0.1 + 0.2 * (i % 2))],
      forty.map((i) => i % 2),
    );
    expect(r).toMatchObject({ ok: false, failure: { code: 'variables', where: 'v1' } });
  });

  it('refuses fewer than 30 complete cells, no variables, and more than can be told apart', () => {
    const few = cells(
      [forty.map((i) => (i < 29 ? i : NaN))],
      forty.map(() => 0),
    );
    expect(few).toMatchObject({ ok: false, failure: { code: 'variables' } });
    if (!few.ok) expect(few.failure.what).toContain('Only 29 cells within 2 zones');
    expect(cells([], forty)).toMatchObject({ ok: false, failure: { code: 'variables' } });
    expect(
      cells(
        Array.from({ length: 32 }, () => forty),
        forty.map(() => 0),
      ).ok,
    ).toBe(false);
  });

  it('refuses as many zones as cells, where no scatter is left', () => {
    const r = spread({
      variables: ['v0'],
      values: [Float64Array.from(forty)],
      zoneOf: Int32Array.from(forty),
      zones: 40,
      basis: ZONES,
    });
    expect(r).toMatchObject({ ok: false, failure: { code: 'variables', where: 'Match' } });
  });
});

describe('zones or circle', () => {
  const names = ['North ridge', 'South bench', 'River'];

  it('counts the complete cells of each zone', () => {
    const values = [Float64Array.of(1, NaN, 3, 4), Float64Array.of(1, 2, NaN, 4)];
    expect([...completeCells(values, Int32Array.of(0, 0, 1, 2), 3)]).toEqual([1, 0, 1]);
  });

  it('takes the zones that hold cells', () => {
    expect(chooseBasis(Int32Array.of(2000, 0, 30), 2000, names)).toEqual({
      basis: 'zones',
      zones: 2,
      from: 'within 2 zones',
    });
    expect(chooseBasis(Int32Array.of(45), 2000, ['Only'])).toEqual({
      basis: 'zones',
      zones: 1,
      from: 'within 1 zone',
    });
  });

  it('falls back to the circle and says why', () => {
    expect(chooseBasis(new Int32Array(0), 2000, [])).toEqual({
      basis: 'circle',
      from: 'within 50 km of the site (no zones loaded)',
      instead: 'no zones loaded',
    });
    expect(chooseBasis(Int32Array.of(0, 0), 2000, names).from).toContain('no zone holds a cell');
    expect(chooseBasis(Int32Array.of(2000, 29, 500), 2000, names)).toEqual({
      basis: 'circle',
      from: 'within 50 km of the site (zone South bench holds only 29 cells with all variables)',
      instead: 'zone South bench holds only 29 cells with all variables',
    });
    expect(chooseBasis(Int32Array.of(1, 29, 500), 2000, names).from).toBe(
      'within 50 km of the site (zone North ridge holds only 1 cell with all variables, and 1 more zone too few)',
    );
  });

  it('asks no more of a zone than its quota', () => {
    expect(zonesTooSmall(Int32Array.of(20, 19, 0), 20)).toEqual([1]);
    expect(zonesTooSmall(Int32Array.of(30, 29, 0), 2000)).toEqual([1]);
  });
});

describe('transforms', () => {
  it('take the logarithm, and count what has none', () => {
    const { values, refused } = transform(Float64Array.of(1, Math.E, 0, -3, NaN), 'log');
    expect([...values]).toEqual([0, 1, NaN, NaN, NaN]);
    expect(refused).toBe(2);
    const same = Float64Array.of(0, -1);
    expect(transform(same, 'identity')).toEqual({ values: same, refused: 0 });
  });
});
