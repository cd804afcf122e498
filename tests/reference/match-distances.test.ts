/**
 * Spread, distance, match and sigma against R 4.2.2 (`cov`, `mahalanobis`, `pchisq`, `qchisq`, `qnorm`) on two of R's
 * datasets: `iris` (Anderson 1935, Fisher 1936), its species as zones, and `trees` (Ryan, Joiner & Ryan 1976). The numbers
 * are made by tests/fixtures/match/distances.R.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { chiSquareWhole } from '../../src/domain/base/chiSquareWhole.ts';
import { chiSquareCdf, chiSquareQuantile, chiSquareTail } from '../../src/domain/base/statistics.ts';
import { distance } from '../../src/domain/vetting/match/distance.ts';
import { metric } from '../../src/domain/vetting/match/metric.ts';
import { pooledCovariance } from '../../src/domain/vetting/match/pooledCovariance.ts';
import { spread } from '../../src/domain/vetting/match/spread.ts';
import { transform } from '../../src/domain/vetting/match/transform.ts';
import type { Spread } from '../../src/domain/vetting/match/types.ts';

interface Against {
  readonly site: number;
  readonly d2: number[];
  readonly match: number[];
  readonly sigma: number[];
  /** A column a variable. */
  readonly parts: number[][];
}
interface Numbers {
  readonly iris: {
    readonly names: string[];
    readonly values: number[][];
    readonly group: number[];
    readonly pooled: number[];
    readonly against: Against[];
  };
  readonly trees: {
    readonly names: string[];
    readonly values: number[][];
    readonly logarithm: number[];
    readonly covariance: number[];
    readonly against: Against[];
  };
  readonly chiSquare: ReadonlyArray<{
    readonly k: number;
    readonly p: number[];
    readonly quantile: number[];
    readonly x: number[];
    readonly tail: number[];
  }>;
}
const r = JSON.parse(
  readFileSync(new URL('../fixtures/match/distances.json', import.meta.url), 'utf8'),
) as Numbers;

/** `scale`: where numbers cancel, the size of what each is the difference of. */
const near = (got: ArrayLike<number>, want: readonly number[], scale: readonly number[] = want): void => {
  expect(got.length).toBe(want.length);
  want.forEach((w, i) =>
    expect(Math.abs(got[i] - w), `${i}: ${got[i]} against ${w}`).toBeLessThanOrEqual(
      1e-9 * Math.max(Math.abs(w), Math.abs(scale[i])),
    ),
  );
};

function taken(values: readonly Float64Array[], names: readonly string[], zoneOf: number[]): Spread {
  const zones = Math.max(...zoneOf) + 1;
  const s = spread({
    variables: names,
    values,
    zoneOf: Int32Array.from(zoneOf),
    zones,
    basis: { basis: 'zones', zones, from: `within ${zones} zones` },
  });
  if (!s.ok) throw new Error(s.failure.what);
  return s.value;
}

function expectAgainst(values: readonly Float64Array[], s: Spread, against: readonly Against[]): void {
  const m = metric(s.covariance, s.variables);
  expect(m.kept).toBe(values.length);
  for (const { site, d2, match, sigma, parts } of against) {
    const at = Float64Array.from(values, (column) => column[site]);
    const got = distance(m, at, values, s.low, s.high);
    near(got.d2, d2);
    near(got.match, match);
    near(got.sigma, sigma);
    parts.forEach((column, v) => near(got.parts[v], column, d2));
    expect(new Set(got.novel)).toEqual(new Set([0]));
  }
}

describe('iris, species as zones', () => {
  const values = r.iris.values.map((column) => Float64Array.from(column));

  it('pooled within-group covariance', () => {
    near(pooledCovariance(values, Int32Array.from(r.iris.group), 3).covariance, r.iris.pooled);
    const s = taken(values, r.iris.names, r.iris.group);
    near(s.covariance, r.iris.pooled);
    expect([s.cells, s.zones, s.kept]).toEqual([150, 3, 4]);
  });

  it('D², match, sigma and parts of all 150 flowers against two of them', () => {
    expectAgainst(values, taken(values, r.iris.names, r.iris.group), r.iris.against);
  });
});

describe('trees, the logarithm of volume', () => {
  const values = r.trees.values.map(
    (column, v) =>
      transform(Float64Array.from(column), r.trees.logarithm.includes(v) ? 'log' : 'identity').values,
  );

  it('covariance of one zone, and D², match, sigma and parts against a tree', () => {
    const s = taken(values, r.trees.names, new Array<number>(31).fill(0));
    near(s.covariance, r.trees.covariance);
    expectAgainst(values, s, r.trees.against);
  });
});

describe('chi-square', () => {
  it.each(r.chiSquare.map((c) => [c.k, c] as const))(
    'tail and quantile, k = %i',
    (k, { p, quantile, x, tail }) => {
      near(
        p.map((share) => chiSquareQuantile(share, k)),
        quantile,
      );
      near(
        quantile.map((q) => chiSquareCdf(q, k)),
        p,
      );
      near(
        x.map((d2) => chiSquareTail(d2, k)),
        tail,
      );
      near(x.map(chiSquareWhole(k)), tail);
    },
  );
});
