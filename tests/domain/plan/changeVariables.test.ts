/** Edits of what is compared, how, and against what spread. */
import { describe, expect, it } from 'vitest';
import {
  chooseVariables,
  editPlanting,
  inverse,
  redefineLayer,
  removeLayer,
  setSpread,
  setTransform,
} from '../../../src/domain/plan/change.ts';
import { freshPlan, freshPlanting } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import type { LayerEntry, Plan } from '../../../src/domain/plan/schema.ts';

const layer = (id: string, definition: string): LayerEntry => ({
  id,
  definition,
  path: `${id}.tif`,
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
});
const plan: Plan = {
  ...freshPlan('Test'),
  layers: [
    layer('t', 'mean-annual-temperature'),
    layer('r', 'annual-precipitation'),
    layer('e', 'elevation'),
  ],
  plantings: [
    freshPlanting('p', 'P', 'Quercus alba', { lon: -82, lat: 39, name: '' }, ['t', 'r']),
    freshPlanting('q', 'Q', 'Quercus alba', { lon: -82, lat: 39, name: '' }, ['e']),
  ],
};
const planting = (x: Plan) => x.plantings[0];

describe('choosing variables', () => {
  it('ticks a group in one step and no variable twice', () => {
    const c = chooseVariables(plan, 'p', ['r', 'e'], true);
    expect(planting(c.after).variables).toEqual(['t', 'r', 'e']);
    expect(inverse(c).after).toBe(plan);
  });
  it('unticks a group and leaves other plantings alone', () => {
    const c = chooseVariables(plan, 'p', ['t', 'r', 'e'], false);
    expect(planting(c.after).variables).toEqual([]);
    expect(c.after.plantings[1]).toBe(plan.plantings[1]);
  });
});

describe('the transform of a variable', () => {
  it('is in the plan only where it is not the usual one', () => {
    const plain = setTransform(plan, 'p', 'r', 'identity', 'log', 'x').after;
    expect(planting(plain).transforms).toEqual({ r: 'identity' });
    expect(planting(setTransform(plain, 'p', 'r', 'log', 'log', 'x').after).transforms).toEqual({});
  });
  it('takes a typed standard deviation along, or out where the new one is not known', () => {
    const typed = setSpread(plan, 'p', { kind: 'typed', sd: { t: 0.8, r: 0.1 } }).after;
    expect(planting(setTransform(typed, 'p', 'r', 'identity', 'log', 'x', 105).after).spread).toEqual({
      kind: 'typed',
      sd: { t: 0.8, r: 105 },
    });
    expect(planting(setTransform(typed, 'p', 'r', 'identity', 'log', 'x').after).spread).toEqual({
      kind: 'typed',
      sd: { t: 0.8 },
    });
    expect(planting(setTransform(plan, 'p', 'r', 'identity', 'log', 'x', 105).after).spread).toEqual({
      kind: 'zones',
    });
  });
});

describe('a layer that goes, or becomes something else', () => {
  const full: Plan = editPlanting(plan, 'p', 'x', {
    transforms: { r: 'identity', t: 'identity' },
    spread: { kind: 'typed', sd: { t: 0.8, r: 100 } },
    rules: {
      ...planting(plan).rules,
      tolerance: [{ variable: 'r', strength: 'must', below: 50, above: 50 }],
    },
  }).after;
  for (const [how, after] of [
    ['removed', removeLayer(full, 'r').after],
    ['redefined', redefineLayer(full, 'r', 'frost-free-period', 'Frost').after],
  ] as const)
    it(`leaves nothing of itself behind: ${how}`, () => {
      const p = planting(after);
      expect(p.variables).toEqual(['t']);
      expect(p.transforms).toEqual({ t: 'identity' });
      expect(p.spread).toEqual({ kind: 'typed', sd: { t: 0.8 } });
      expect(p.rules.tolerance).toEqual([]);
      expect(after.plantings[1]).toBe(full.plantings[1]);
      expect(parsePlan(JSON.parse(JSON.stringify(after)), 'x')).toMatchObject({ ok: true });
    });
});
