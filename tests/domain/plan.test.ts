import { describe, expect, it } from 'vitest';
import { addLayers, removeLayer, setOverride, setRule } from '../../src/domain/plan/change.ts';
import { freeId, freePath, freshPlan, freshPlanting } from '../../src/domain/plan/fresh.ts';
import { choiceKey, routeKey, vettingKey } from '../../src/domain/plan/keys.ts';
import { parsePlan } from '../../src/domain/plan/parse.ts';
import type { Plan } from '../../src/domain/plan/schema.ts';

const layer = {
  id: 'e',
  definition: 'elevation',
  path: 'e.tif',
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
};
const plan: Plan = {
  ...freshPlan('Test'),
  layers: [layer],
  plantings: [freshPlanting('p', 'P', 'Quercus alba', { lon: -82, lat: 39, name: '' }, ['e'])],
};
const refusal = (value: unknown): string => {
  const r = parsePlan(value, 'plan.json');
  if (r.ok) throw new Error('accepted');
  return `${r.failure.code}: ${r.failure.what}`;
};

describe('reading a plan', () => {
  it('fills in the defaults of the trade', () => {
    const r = parsePlan(
      {
        kinstand: 1,
        title: 'T',
        layers: [],
        plantings: [
          { id: 'p', title: 'P', species: 'Quercus alba', site: { lon: -82, lat: 39 }, variables: [] },
        ],
      },
      'x',
    );
    if (!r.ok) throw new Error(r.failure.what);
    const [p] = r.value.plantings;
    expect(p.parents).toMatchObject({ count: 10, spacing: 402.336, match: 1, origin: 1, quality: 1 });
    expect(p.rules.zone).toMatchObject({ strength: 'must', adjacent: true, cornerCounts: false, snap: 30 });
    expect(p.rules.elevation).toMatchObject({ lower: 150, higher: 150 });
    expect(p.scouting).toMatchObject({ leave: 450, stopMinutes: 20, detour: 1.3 });
  });
  it('is the same after being written and read again', () => {
    expect(parsePlan(JSON.parse(JSON.stringify(plan)), 'x')).toEqual({ ok: true, value: plan });
  });
  it('refuses a newer version, naming both', () => {
    expect(refusal({ kinstand: 2 })).toMatch(/^newer: .*2.*1/);
  });
  it('names the place of a wrong value', () => {
    expect(refusal({ ...plan, plantings: [{ ...plan.plantings[0], site: { lon: 500, lat: 39 } }] })).toMatch(
      /plantings\.0\.site\.lon/,
    );
    expect(refusal({ ...plan, extra: 1 })).toMatch(/extra/);
    expect(refusal('text')).toMatch(/plan/);
  });
  it('refuses repeated ids, layers without or with two places, and unknown variables', () => {
    expect(refusal({ ...plan, layers: [layer, layer] })).toMatch(/used twice/);
    expect(refusal({ ...plan, layers: [{ ...layer, url: 'https://example.org/e.tif' }] })).toMatch(
      /either a path, a url, or the layer that it is computed from/,
    );
    expect(refusal({ ...plan, layers: [] })).toMatch(/not among the layers/);
  });
  it('refuses a layer that is computed from itself or from one that is computed; lets one in whose elevation is gone', () => {
    const { path: _none, ...bare } = layer;
    const slope = { ...bare, id: 's', definition: 'slope', from: 'e' };
    const withLayers = (...more: object[]): unknown => ({ ...plan, layers: [layer, ...more] });
    expect(parsePlan(withLayers(slope, { ...slope, id: 'r', radius: 300 }), 'x').ok).toBe(true);
    expect(refusal(withLayers({ ...slope, from: 's' }))).toMatch(
      /layer "s" is computed from "s", which is itself$/,
    );
    expect(refusal(withLayers(slope, { ...slope, id: 't', from: 's' }))).toMatch(
      /layer "t" is computed from "s", which is itself computed/,
    );
    expect(refusal(withLayers({ ...slope, path: 's.tif' }))).toMatch(/either a path, a url/);
    // As when elevation was removed on screen: the workspace has to open again.
    expect(parsePlan(withLayers({ ...slope, from: 'gone' }), 'x').ok).toBe(true);
  });
  it('refuses paths outside of the workspace', () => {
    for (const path of ['../secret', '/etc/passwd', 'a/../../b'])
      expect(refusal({ ...plan, layers: [{ ...layer, path }] })).toMatch(/path/);
  });
  it('wants a reason for an override', () => {
    expect(
      refusal({
        ...plan,
        plantings: [
          { ...plan.plantings[0], overrides: [{ candidate: 'x', standing: 'eligible', reason: ' ' }] },
        ],
      }),
    ).toMatch(/reason/);
  });
});

describe('edits', () => {
  it('leave the plan before them as it was', () => {
    const frozen = JSON.stringify(plan);
    setRule(plan, 'p', 'match', { strength: 'off', least: 0 });
    addLayers(plan, [{ ...layer, id: 'f' }], ['f']);
    expect(JSON.stringify(plan)).toBe(frozen);
  });
  it('take the variables and tolerances of a removed layer with it', () => {
    const with2 = setRule(plan, 'p', 'tolerance', [
      { variable: 'e', strength: 'must', below: 1, above: 1 },
    ]).after;
    const [p] = removeLayer(with2, 'e').after.plantings;
    expect(p.variables).toEqual([]);
    expect(p.rules.tolerance).toEqual([]);
    expect(parsePlan(removeLayer(with2, 'e').after, 'x').ok).toBe(true);
  });
  it('hold one override a candidate', () => {
    const once = setOverride(plan, 'p', {
      candidate: 'T',
      standing: 'eligible',
      reason: 'first',
      by: '',
      date: '',
    }).after;
    const twice = setOverride(once, 'p', {
      candidate: 'T',
      standing: 'ruled out',
      reason: 'second',
      by: '',
      date: '',
    }).after;
    expect(twice.plantings[0].overrides.map((o) => o.reason)).toEqual(['second']);
  });
  it('find ids that are free', () => {
    expect(freeId('zones', new Set())).toBe('zones');
    expect(freeId('zones', new Set(['zones', 'zones 2']))).toBe('zones 3');
    expect(freeId('a/b\\c', new Set())).toBe('a b c');
  });
  it('find paths that are free and keep their extension', () => {
    expect(freePath('trees.csv', new Set(['plan.json']))).toBe('trees.csv');
    expect(freePath('trees.csv', new Set(['trees.csv', 'trees 2.csv']))).toBe('trees 3.csv');
    expect(freePath('trees.csv', new Set(['trees.fgb']))).toBe('trees.csv');
    expect(freePath('plan.json', new Set(['plan.json']))).toBe('plan 2.json');
    expect(freePath('notes', new Set(['notes']))).toBe('notes 2');
  });
});

describe('keys', () => {
  const [p] = plan.plantings;
  const key = (q: typeof p): string => vettingKey(plan, q, '1');
  it('change with what a result depends on', () => {
    expect(key({ ...p, site: { ...p.site, lon: -83 } })).not.toBe(key(p));
    expect(key({ ...p, rules: { ...p.rules, match: { strength: 'off', least: 0 } } })).not.toBe(key(p));
    expect(vettingKey(plan, p, '2')).not.toBe(key(p));
    expect(choiceKey({ ...p, locks: ['x'] }, 'v')).not.toBe(choiceKey(p, 'v'));
    expect(routeKey({ ...p, scouting: { ...p.scouting, hours: 5 } }, 'c')).not.toBe(routeKey(p, 'c'));
  });
  it('change with every site and all that is read there', () => {
    const other = { lon: -81, lat: 40, name: '' };
    const two = { ...p, moreSites: [other] };
    const ring: [number, number][] = [
      [-82.1, 38.9],
      [-81.9, 38.9],
      [-82, 39.1],
      [-82.1, 38.9],
    ];
    const edits = [
      two,
      { ...two, moreSites: [{ ...other, lat: 41 }] },
      { ...two, moreSites: [{ ...other, name: 'North' }] },
      { ...two, moreSites: [{ ...other, area: [[ring]] }] },
      { ...two, site: other, moreSites: [p.site] },
      { ...p, site: { ...p.site, area: [[ring]] } },
      { ...p, sitePeriod: '2041-2070' },
      { ...p, transforms: { e: 'log' as const } },
      { ...p, transforms: { e: 'identity' as const } },
      { ...p, spread: { kind: 'circle' as const, km: 30 } },
      { ...p, spread: { kind: 'circle' as const, km: 31 } },
      { ...p, spread: { kind: 'typed' as const, sd: { e: 50 } } },
      { ...p, spread: { kind: 'typed' as const, sd: { e: 51 } } },
    ];
    const keys = [p, ...edits].map(key);
    expect(new Set(keys).size).toBe(keys.length);
    // And so do those of what is made of it.
    expect(new Set(keys.map((k) => choiceKey(p, k))).size).toBe(keys.length);
    expect(new Set(keys.map((k) => routeKey(p, choiceKey(p, k)))).size).toBe(keys.length);
  });
  it('do not change with what is chosen for a variable that is not compared', () => {
    expect(key({ ...p, transforms: { x: 'log' } })).toBe(key(p));
    const typed = (sd: Record<string, number>): string => key({ ...p, spread: { kind: 'typed', sd } });
    expect(typed({ e: 50, x: 3 })).toBe(typed({ x: 4, e: 50 }));
  });
  it('do not change with what it does not', () => {
    expect(key({ ...p, title: 'Other', seedlings: 5, locks: ['x'] })).toBe(key(p));
    expect(choiceKey({ ...p, scouting: { ...p.scouting, hours: 5 } }, 'v')).toBe(choiceKey(p, 'v'));
  });
});
