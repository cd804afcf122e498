/**
 * What a match says of pairs of places, on invented zones: D² of two places of one zone follows chi-square with k degrees of
 * freedom where the variables are normal within zones (Mahalanobis 1936; definition of the chi-square distribution), so that
 * 5 of 100 pairs match by less than 0.05.
 */
import { describe, expect, it } from 'vitest';
import { rng, type Random } from '../../src/domain/base/rng.ts';
import { normalQuantile } from '../../src/domain/base/statistics.ts';
import type { Transform } from '../../src/domain/layers/definition.ts';
import { metric } from '../../src/domain/vetting/match/metric.ts';
import { spread } from '../../src/domain/vetting/match/spread.ts';
import { spreadCheck } from '../../src/domain/vetting/match/spreadCheck.ts';
import { surfaceKernel } from '../../src/domain/vetting/match/surface.ts';
import { transform } from '../../src/domain/vetting/match/transform.ts';
import type { SpreadCheck, Variable } from '../../src/domain/vetting/match/types.ts';

const ZONES = 8;
const CELLS = 16_000;
const PAIRS = 100_000;

/** Draws a place of a zone: normal variables mixed of independent ones, means of zones far apart. */
function normalZones(k: number, random: Random): (zone: number) => number[] {
  const normal = (): number => normalQuantile(random());
  const mix = Array.from({ length: k }, () => Array.from({ length: k }, normal));
  const mean = Array.from({ length: ZONES }, () => Array.from({ length: k }, () => 20 * normal()));
  return (zone) => {
    const e = Array.from({ length: k }, normal);
    return mix.map((row, v) => 10 ** (v - 1) * (mean[zone][v] + row.reduce((s, m, j) => s + m * e[j], 0)));
  };
}

/** The first variable is a rainfall of log-normal distribution, from zone to zone twofold; it goes with the second. */
function skewedZones(random: Random): (zone: number) => number[] {
  const normal = (): number => normalQuantile(random());
  return (zone) => {
    const [a, b, c] = [normal(), normal(), normal()];
    return [
      600 * 2 ** (zone / 7) * Math.exp(0.6 * a),
      9 + zone + 0.5 * (0.5 * a + b),
      300 + 40 * zone + 30 * c,
    ];
  };
}

/** Shares of fresh pairs that match by less than 0.05 and than 0.5, and the check of the cells that the spread was taken of. */
function pairsOf(
  place: (zone: number) => number[],
  transforms: readonly Transform[],
): { under: number; half: number; check: SpreadCheck } {
  const zoneOf = Int32Array.from({ length: CELLS }, (_, i) => i % ZONES);
  const cells = Array.from(zoneOf, place);
  const variables = transforms.map((how, v): Variable => {
    return { id: `v${v}`, title: `V${v}`, unit: 'mm', transform: how, period: '', words: ['more', 'less'] };
  });
  const plain = variables.map((_, v) => Float64Array.from(cells, (c) => c[v]));
  const values = plain.map((x, v) => transform(x, transforms[v]).values);
  const taken = spread({
    variables: variables.map((v) => v.title),
    values,
    zoneOf,
    zones: ZONES,
    basis: { basis: 'zones', zones: ZONES, from: `within ${ZONES} zones` },
  });
  if (!taken.ok) throw new Error(taken.failure.what);
  const { whitening, kept } = metric(taken.value.covariance, taken.value.variables);
  expect(kept).toBe(variables.length);
  // The difference of a pair is measured from a site at nothing.
  const pairs = Array.from({ length: PAIRS }, (_, i) => [place(i % ZONES), place(i % ZONES)] as const);
  const differences = transforms.map((how, v) =>
    Float64Array.from(pairs, ([a, b]) => (how === 'log' ? Math.log(a[v] / b[v]) : a[v] - b[v])),
  );
  const match = new Float64Array(PAIRS);
  surfaceKernel({
    key: '',
    variables: variables.map((v) => ({ layer: v.id, transform: 'identity' })),
    whitening,
    kept,
    sites: [new Float64Array(kept)],
  })(differences, match);
  const names = Array.from({ length: ZONES }, (_, z) => `zone ${z}`);
  const check = spreadCheck({ variables, plain, values, zoneOf, zones: ZONES, names }, taken.value);
  if (!check) throw new Error('no pairs');
  const share = (below: number): number => match.reduce((n, m) => (m < below ? n + 1 : n), 0) / PAIRS;
  return { under: share(0.05), half: share(0.5), check };
}

describe('100,000 pairs of places of one zone', () => {
  it.each([
    [2, 21],
    [4, 22],
    [6, 23],
  ])('of %i normal, correlated variables match by less than 0.05 in 4 to 6 of 100, seed %i', (k, seed) => {
    const { under, half, check } = pairsOf(
      normalZones(k, rng(seed)),
      new Array<Transform>(k).fill('identity'),
    );
    expect(under).toBeGreaterThan(0.04);
    expect(under).toBeLessThan(0.06);
    expect(half).toBeGreaterThan(0.48);
    expect(half).toBeLessThan(0.52);
    expect([check.advice, check.log]).toEqual([[], []]);
  });

  it.each([31, 32, 33])('of which one is log-normal do so by its logarithm, seed %i', (seed) => {
    const { under, half, check } = pairsOf(skewedZones(rng(seed)), ['log', 'identity', 'identity']);
    expect(under).toBeGreaterThan(0.04);
    expect(under).toBeLessThan(0.06);
    expect(half).toBeGreaterThan(0.48);
    expect(half).toBeLessThan(0.52);
    expect(check.log).toEqual([]);
  });

  it.each([31, 32, 33])('and do not as it is; then its logarithm is advised, seed %i', (seed) => {
    const { under, half, check } = pairsOf(skewedZones(rng(seed)), ['identity', 'identity', 'identity']);
    expect(under < 0.04 || under > 0.06, `${under}`).toBe(true);
    expect(half, 'more small differences than normal').toBeLessThan(0.48);
    expect(check.log).toEqual(['v0']);
    expect(check.advice[0]).toMatch(/^V0 is skewed: comparing its logarithm brings the \d+ % share from/);
  });
});
