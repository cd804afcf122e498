/** Rules that are asked of each site: the worst answer counts, and says which site it is about. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ZoneAdjacency } from '../../../src/domain/layers/zones.ts';
import { moves } from '../../../src/domain/vetting/moves.ts';
import { elevation } from '../../../src/domain/vetting/rules/elevation.ts';
import { match } from '../../../src/domain/vetting/rules/match.ts';
import { slope } from '../../../src/domain/vetting/rules/slope.ts';
import { tolerance } from '../../../src/domain/vetting/rules/tolerance.ts';
import { transfer } from '../../../src/domain/vetting/rules/transfer.ts';
import { ANSWERS, NO_SITE, type FindingColumn } from '../../../src/domain/vetting/rules/types.ts';
import { zone } from '../../../src/domain/vetting/rules/zone.ts';
import type { SiteValues } from '../../../src/domain/vetting/vetting.ts';
import { make, type Short } from '../candidates/make.ts';
import { matchColumns, ruleInput, site } from '../vetting/make.ts';

const must = 'must' as const;
const some = (n: number): Short[] => Array.from({ length: n }, () => ({}));
const answers = (f: FindingColumn | null): string[] => [...(f?.answer ?? [])].map((a) => ANSWERS[a]);
const about = (f: FindingColumn | null): Array<number | null> =>
  [...(f?.sites?.site ?? [])].map((s) => (s === NO_SITE ? null : s));
const band = { strength: must, lower: 150, higher: 150 };

describe('elevation', () => {
  const sites = [site({ elevation: 200 }), site({ elevation: 400 })];
  const of = (trees: number[], more: readonly SiteValues[] = sites): FindingColumn | null =>
    elevation(ruleInput(make(some(trees.length)), { elevation: trees }, { sites: more }), band);

  test('a tree between two sites suits both; one near the lower fails the upper', () => {
    const f = of([300, 210, 390, 900, 320]);
    expect(answers(f)).toEqual(['pass', 'fail', 'fail', 'fail', 'pass']);
    // The measure is the difference from the site that it suits least, failed or not.
    expect(about(f)).toEqual([0, 1, 0, 0, 0]);
    expect([...(f?.measure ?? [])]).toEqual([100, -190, 190, 700, 120]);
    expect([f?.limit, f?.sites?.limits]).toEqual([
      'within 150 m of each site',
      ['within 150 m of the site', 'within 150 m of the site'],
    ]);
  });

  test('a fail outweighs an unknown, an unknown a pass; what is unknown of the tree names no site', () => {
    const unknown = site();
    expect(answers(of([210, 900, NaN], [sites[0], unknown]))).toEqual(['unknown', 'fail', 'unknown']);
    expect(about(of([210, 900, NaN], [sites[0], unknown]))).toEqual([1, 0, null]);
    expect(about(of([210, 900, NaN], [unknown, sites[0]]))).toEqual([0, 1, null]);
  });

  test('with limits that differ, the site nearest its limit is named', () => {
    const input = ruleInput(make(some(1)), { elevation: [300] }, { sites });
    const f = elevation(input, { strength: must, lower: 101, higher: 150 });
    expect([answers(f), about(f), f?.measure[0]]).toEqual([['pass'], [1], -100]);
  });

  test('one site is not named', () => {
    const f = of([300], [sites[0]]);
    expect([f?.sites, f?.limit]).toEqual([null, 'within 150 m of the site']);
  });
});

test('the worst answer counts whatever the order of the sites (property)', () => {
  const height = fc.oneof(fc.integer({ min: 0, max: 600 }), fc.constant(NaN));
  fc.assert(
    fc.property(fc.array(height, { minLength: 1, maxLength: 6 }), height, (heights, tree) => {
      const ask = (list: number[]): FindingColumn | null =>
        elevation(
          ruleInput(make(some(1)), { elevation: [tree] }, { sites: list.map((e) => site({ elevation: e })) }),
          band,
        );
      const each = heights.map((h) => answers(ask([h]))[0]);
      const worst = each.includes('fail') ? 'fail' : each.includes('unknown') ? 'unknown' : 'pass';
      const all = ask(heights);
      expect(answers(all)).toEqual([worst]);
      expect(answers(ask([...heights].reverse()))).toEqual([worst]);
      const named = all?.sites?.site[0] ?? NO_SITE;
      if (named !== NO_SITE) {
        expect(each[named]).toBe(worst);
        expect(all?.measure[0]).toBe(tree - heights[named]);
      }
    }),
    { numRuns: 100, seed: 21 },
  );
});

describe('zone', () => {
  const adjacency: ZoneAdjacency = {
    snap: 30,
    pairs: [
      { a: 0, b: 1, contact: 'edge', sharedMetres: 900 },
      { a: 1, b: 2, contact: 'edge', sharedMetres: 900 },
    ],
  };
  const zones = { keys: ['A', 'B', 'C'], names: ['A', 'B', 'C'], adjacency };
  const settings = { strength: must, adjacent: true, cornerCounts: false, snap: 30 };
  const trees = { zone: [0, 1, 2, -1] };

  test('next to both home zones passes; the limit names the zone of the site it is about', () => {
    const f = zone(
      ruleInput(make(some(4)), trees, { zones, sites: [site({ zone: 0 }), site({ zone: 2 })] }),
      settings,
    );
    expect(answers(f)).toEqual(['fail', 'pass', 'fail', 'unknown']);
    expect(about(f)).toEqual([1, 0, 0, null]);
    expect([...(f?.measure ?? [])].map((m) => f?.words?.[m] ?? '')).toEqual([
      'another zone',
      'adjacent zone',
      'another zone',
      '',
    ]);
    expect(f?.limit).toBe('zone of each site or adjacent');
    expect(f?.sites?.limits).toEqual(['zone A of the site or adjacent', 'zone C of the site or adjacent']);
    expect(f?.toCheck).toBe('find out which zone the tree stands in');
  });

  test('a site outside all zones leaves open what the other does not forbid, and says what to load', () => {
    const f = zone(ruleInput(make(some(4)), trees, { zones, sites: [site({ zone: 0 }), site()] }), settings);
    expect(answers(f)).toEqual(['unknown', 'unknown', 'fail', 'unknown']);
    expect(about(f)).toEqual([1, 1, 0, null]);
    expect(f?.sites?.toCheck).toEqual([
      'find out which zone the tree stands in',
      'load zones that hold the site',
    ]);
    expect(f?.toCheck).toBe('load zones that hold each site');
  });
});

test('transfer: the move to each site is asked for, not the farthest alone', () => {
  // The tree lies 111 km south of one site and 166 km north of the other.
  const c = make([{ lon: -82, lat: 39 }]);
  const sites = [site({ lon: -82, lat: 40 }), site({ lon: -82, lat: 37.5 })];
  const ask = (northKm: number, southKm: number): FindingColumn | null =>
    transfer(ruleInput(c, {}, { sites }), { strength: must, km: 200, northKm, southKm });
  expect([answers(ask(200, 200)), about(ask(200, 200))]).toEqual([['pass'], [1]]);
  expect([answers(ask(100, 200)), about(ask(100, 200))]).toEqual([['fail'], [0]]);
  expect(ask(100, 200)?.measure[0]).toBe(moves(c, sites[0]).distance[0]);
  expect([answers(ask(200, 100)), about(ask(200, 100))]).toEqual([['fail'], [1]]);
  expect(ask(100, 200)?.limit).toBe('at most 200 km, 100 km northward to each site');
});

describe('match and tolerance', () => {
  const columns = { ...matchColumns([0.5, 0.01, NaN], [12.5, 14, NaN]), site: Uint8Array.of(1, 1, 0) };
  const sites = [site({ values: [12] }), site({ values: [11] })];
  const input = ruleInput(make(some(3)), {}, { match: columns, sites });

  test('the match is the least already; its site is named where it is known', () => {
    const f = match(input, { strength: must, least: 0.05 });
    expect(answers(f)).toEqual(['pass', 'fail', 'unknown']);
    expect(about(f)).toEqual([1, 1, null]);
    expect(f?.limit).toBe('at least 0.05 with each site');
  });

  test('a band about each site; a site without a value leaves it open', () => {
    const ask = (list: readonly SiteValues[]): FindingColumn | null =>
      tolerance({ ...input, sites: list }, { variable: 'mat', strength: must, below: 1, above: 1 });
    expect(answers(ask(sites))).toEqual(['fail', 'fail', 'unknown']);
    expect([about(ask(sites)), ask(sites)?.measure[0]]).toEqual([[1, 1, null], 1.5]);
    expect(answers(ask([sites[0], site({ values: [NaN] })]))).toEqual(['unknown', 'fail', 'unknown']);
    expect(ask(sites)?.limit).toBe('within 1 °C of each site');
  });
});

test('a rule that asks of the tree alone names no site', () => {
  const input = ruleInput(make(some(1)), { slope: [10] }, { sites: [site(), site()] });
  expect(slope(input, { strength: must, most: 30 })?.sites).toBeNull();
});
