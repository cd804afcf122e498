import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { normalQuantile } from '../../../src/domain/base/statistics.ts';
import type { Transform } from '../../../src/domain/layers/definition.ts';
import type { LayerEntry } from '../../../src/domain/plan/schema.ts';
import { distance } from '../../../src/domain/vetting/match/distance.ts';
import { leastOf, type LeastDistances } from '../../../src/domain/vetting/match/leastOf.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';
import { surfaceKernel, surfaceSpec } from '../../../src/domain/vetting/match/surface.ts';
import { transform } from '../../../src/domain/vetting/match/transform.ts';
import type { ChosenVariable, SiteReading } from '../../../src/domain/vetting/match/types.ts';

interface Case {
  readonly variables: readonly ChosenVariable[];
  readonly names: readonly string[];
  readonly covariance: Float64Array;
  readonly sites: readonly number[][];
  readonly values: readonly Float64Array[];
}

function chosen(how: Transform, v: number): ChosenVariable {
  const layer = { id: `layer ${v}` } as LayerEntry;
  return {
    variable: {
      id: layer.id,
      title: `v${v}`,
      unit: '1',
      transform: how,
      period: '',
      words: ['more', 'less'],
    },
    role: 'climate',
    layer,
    siteLayer: layer,
  };
}

/** Variables of several sizes, some compared as logarithms, and places and sites among which they differ in earnest. */
function randomCase(seed: number, n: number, sites: number, k: number): Case {
  const random = rng(seed);
  const normal = (): number => normalQuantile(random());
  const variables = Array.from({ length: k }, (_, v) => chosen(random() < 0.4 ? 'log' : 'identity', v));
  const mix = Array.from({ length: 3 * k + 2 }, () => Array.from({ length: k }, () => 0.3 * normal()));
  const scale = variables.map(() => 10 ** (3 * random() - 1));
  const covariance = new Float64Array(k * k);
  const sizeOf = (v: number): number => (variables[v].variable.transform === 'log' ? 1 : scale[v]);
  for (const row of mix)
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) covariance[i * k + j] += row[i] * row[j] * sizeOf(i) * sizeOf(j);
  const place = (v: number): number =>
    variables[v].variable.transform === 'log'
      ? scale[v] * Math.exp(0.6 * normal())
      : scale[v] * (5 + 0.6 * normal());
  return {
    variables,
    names: variables.map((v) => v.variable.title),
    covariance,
    sites: Array.from({ length: sites }, () => variables.map((_, v) => place(v))),
    values: variables.map((_, v) => Float64Array.from({ length: n }, () => place(v))),
  };
}

const readings = (c: Case): SiteReading[] =>
  c.sites.map((values) => ({ values, low: values, high: values, now: values, cells: 0 }));

function byKernel(
  c: Case,
  as: (x: Float64Array) => Float64Array | Float32Array = (x) => x.slice(),
): number[] {
  const spec = surfaceSpec(c.variables, { covariance: c.covariance, variables: c.names }, readings(c), 'key');
  const out = new Float64Array(c.values[0].length);
  surfaceKernel(spec)(c.values.map(as), out);
  return [...out];
}

/** What vetting does with the same values. */
function byDistance(c: Case): LeastDistances {
  const k = c.names.length;
  const m = metric(c.covariance, c.names);
  const compared = (x: Float64Array, v: number): Float64Array =>
    transform(x, c.variables[v].variable.transform).values;
  const values = c.values.map(compared);
  const wide = new Float64Array(k).fill(Infinity);
  return leastOf(
    c.sites.map((site) =>
      distance(
        m,
        Float64Array.from(site, (x, v) => compared(Float64Array.of(x), v)[0]),
        values,
        wide.map((x) => -x),
        wide,
      ),
    ),
  );
}

/** Differences and whitened places are sums in another order: their rounding grows with the distance from zero. */
function expectSame(got: readonly number[], { d2, match }: LeastDistances): void {
  got.forEach((m, i) => {
    if (Number.isNaN(match[i])) expect(m).toBeNaN();
    else expect(Math.abs(m - match[i])).toBeLessThanOrEqual(1e-12 * match[i] * Math.max(1, d2[i]) + 1e-300);
  });
}

const KINDS = Array.from({ length: 31 }, (_, i) => [i + 1, 1 + (i % 3)] as const);

describe('the match of cells', () => {
  it.each(KINDS)('is that of the vetting, k = %i, %i sites, seed k', (k, sites) => {
    // More than one chunk, and one that is not full.
    const c = randomCase(k, 2500, sites, k);
    const want = byDistance(c);
    expectSame(byKernel(c), want);
    expect(want.match.some((m) => m > 0.01)).toBe(true);
  });

  it('of numbers in single precision is that of those numbers', () => {
    const c = randomCase(7, 300, 2, 5);
    const single = { ...c, values: c.values.map((x) => Float64Array.from(Float32Array.from(x))) };
    const log = c.variables.some((v) => v.variable.transform === 'log');
    expect(log).toBe(true);
    // Logarithms are written back into the column, in its precision.
    const want = byDistance(single).match;
    byKernel(c, (x) => Float32Array.from(x)).forEach((m, i) =>
      expect(Math.abs(m - want[i])).toBeLessThan(1e-4),
    );
  });

  it('is not known where a variable is missing or has no logarithm', () => {
    const c = randomCase(11, 60, 2, 3);
    const variables = [chosen('log', 0), chosen('identity', 1), chosen('identity', 2)];
    const values = c.values.map((x) => x.map(Math.abs));
    values[0][3] = 0;
    values[0][4] = -2;
    values[1][5] = NaN;
    values[2][6] = NaN;
    const given = { ...c, variables, values, sites: c.sites.map((s) => s.map(Math.abs)) };
    const got = byKernel(given);
    expectSame(got, byDistance(given));
    expect(got.flatMap((m, i) => (Number.isNaN(m) ? [i] : []))).toEqual([3, 4, 5, 6]);
  });

  it.each([0, 1, 2])('is not known anywhere while site %i of three has no value', (site) => {
    const c = randomCase(12, 40, 3, 3);
    const sites = c.sites.map((s, i) => (i === site ? [s[0], NaN, s[2]] : s));
    expect(byKernel({ ...c, sites }).every(Number.isNaN)).toBe(true);
    expect(byDistance({ ...c, sites }).match.every(Number.isNaN)).toBe(true);
  });

  it.each([1, 2, 3])('leaves out components that vetting leaves out, seed %i', (seed) => {
    // The third variable is the sum of the first two, the fourth is the first again.
    const base = randomCase(seed, 300, 2, 2);
    const plain = [0, 1, 2, 3].map((v) => chosen('identity', v));
    const rows = [
      [1, 0],
      [0, 1],
      [1, 1],
      [1, 0],
    ];
    const covariance = new Float64Array(16);
    rows.forEach((a, i) =>
      rows.forEach((b, j) => {
        for (let p = 0; p < 2; p++)
          for (let q = 0; q < 2; q++) covariance[i * 4 + j] += a[p] * base.covariance[p * 2 + q] * b[q];
      }),
    );
    const spanned = (x: readonly number[]): number[] => rows.map((r) => r[0] * x[0] + r[1] * x[1]);
    const places = [...base.values[0]].map((x, i) => spanned([x, base.values[1][i]]));
    const c: Case = {
      variables: plain,
      names: ['a', 'b', 'c', 'd'],
      covariance,
      sites: base.sites.map(spanned),
      values: rows.map((_, v) => Float64Array.from(places, (p) => p[v])),
    };
    expect(metric(covariance, c.names).kept).toBe(2);
    const got = byKernel(c);
    byDistance(c).match.forEach((m, i) => expect(got[i]).toBeCloseTo(m, 10));
    // And that is the match by the first two alone.
    const two = { ...base, variables: plain.slice(0, 2) };
    byDistance(two).match.forEach((m, i) => expect(got[i]).toBeCloseTo(m, 7));
  });
});
