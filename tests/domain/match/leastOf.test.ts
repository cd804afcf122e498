import { describe, expect, it } from 'vitest';
import { rng } from '../../../src/domain/base/rng.ts';
import { distance, type Distances } from '../../../src/domain/vetting/match/distance.ts';
import { leastOf } from '../../../src/domain/vetting/match/leastOf.ts';
import { metric } from '../../../src/domain/vetting/match/metric.ts';

const names = ['a', 'b'];
const measure = metric(Float64Array.of(1, 0.4, 0.4, 2), names);
const [low, high] = [Float64Array.of(-2, -2), Float64Array.of(2, 2)];
const from = (site: readonly number[], values: readonly Float64Array[]): Distances =>
  distance(measure, Float64Array.from(site), values, low, high);

describe('the least match of several sites', () => {
  it.each([1, 2, 3, 4, 5])('is, place by place, that of the site with the greatest D², seed %i', (seed) => {
    const random = rng(seed);
    const values = names.map(() =>
      Float64Array.from({ length: 300 }, () => (random() < 0.1 ? NaN : 6 * random() - 3)),
    );
    const sites = Array.from({ length: 1 + seed }, () => [4 * random() - 2, 4 * random() - 2]);
    const each = sites.map((s) => from(s, values));
    const least = leastOf(each);
    expect(least.bySite).toEqual(each.map((d) => d.match));
    expect(least.novel).toEqual(each[0].novel);
    for (let i = 0; i < 300; i++) {
      const d2 = each.map((d) => d.d2[i]);
      const worst = d2.some(Number.isNaN) ? 0 : d2.indexOf(Math.max(...d2));
      expect(least.site[i]).toBe(worst);
      expect(least.d2[i]).toBe(d2[worst]);
      expect(least.match[i]).toBe(Math.min(...each.map((d) => d.match[i])));
      expect(least.sigma[i]).toBe(Math.max(...each.map((d) => d.sigma[i])));
      expect(least.limiting[i]).toBe(each[worst].limiting[i]);
      expect(least.parts.map((p) => p[i])).toEqual(each[worst].parts.map((p) => p[i]));
    }
  });

  it('is unknown where it is unknown at one site, which the other sites still show', () => {
    const values = [Float64Array.of(0), Float64Array.of(1)];
    const known = from([0, 0], values);
    const unknown = from([NaN, 0], values);
    for (const each of [
      [known, unknown, known],
      [unknown, known],
    ]) {
      const least = leastOf(each);
      expect([least.d2[0], least.match[0], least.sigma[0], least.parts[1][0]]).toEqual([NaN, NaN, NaN, NaN]);
      expect([least.limiting[0], least.site[0]]).toEqual([-1, 0]);
      expect(least.bySite.map((m) => m[0])).toEqual(each.map((d) => d.match[0]));
    }
  });

  it('tells sites apart where both matches have run out to 0', () => {
    const values = [Float64Array.of(0), Float64Array.of(0)];
    const least = leastOf([from([200, 0], values), from([400, 0], values), from([300, 0], values)]);
    expect(least.match[0]).toBe(0);
    expect(least.site[0]).toBe(1);
  });

  it('of one site is that site, without a copy', () => {
    const one = from([0, 0], [Float64Array.of(1), Float64Array.of(1)]);
    const least = leastOf([one]);
    expect(least.d2).toBe(one.d2);
    expect([...least.site]).toEqual([0]);
  });
});
