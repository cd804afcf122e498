import { describe, expect, it } from 'vitest';
import { inverse, removeLayer } from '../../../src/domain/plan/change.ts';
import { groundOf, openingOrder, withGrounds } from '../../../src/domain/plan/computed.ts';
import { deriveTerrain } from '../../../src/domain/plan/deriveTerrain.ts';
import { freshPlan, freshPlanting } from '../../../src/domain/plan/fresh.ts';
import { parsePlan } from '../../../src/domain/plan/parse.ts';
import type { LayerEntry, Plan } from '../../../src/domain/plan/schema.ts';

const hills: LayerEntry = {
  id: 'hills',
  definition: 'elevation',
  title: 'Hills',
  path: 'hills.tif',
  band: 1,
  period: '',
  source: '',
  date: '',
  licence: '',
};
const start: Plan = {
  ...freshPlan('Invented'),
  layers: [hills],
  plantings: [freshPlanting('p', 'P', 'Quercus alba', { lon: -82, lat: 39, name: '' }, ['hills'])],
};
const WANTED = [
  { definition: 'slope', title: 'Slope' },
  { definition: 'relative-position', title: 'Relative position, 300 m', radius: 300 },
];

describe('deriving terrain', () => {
  it('adds layers of no file as one step, variables of no planting, in a plan that can be read again', () => {
    const change = deriveTerrain(start, hills, WANTED);
    expect(change.after.layers.map((l) => [l.id, l.title, l.from, l.radius, l.path])).toEqual([
      ['hills', 'Hills', undefined, undefined, 'hills.tif'],
      ['slope', 'Slope', 'hills', undefined, undefined],
      ['relative-position', 'Relative position, 300 m', 'hills', 300, undefined],
    ]);
    expect(change.after.plantings[0].variables).toEqual(['hills']);
    expect(parsePlan(JSON.parse(JSON.stringify(change.after)), 'x')).toEqual({
      ok: true,
      value: change.after,
    });
    expect(inverse(change).after).toBe(start);
  });

  it('adds none twice, another radius beside the first, and tells two grounds apart', () => {
    const once = deriveTerrain(start, hills, WANTED).after;
    expect(deriveTerrain(once, hills, WANTED).after.layers).toHaveLength(3);
    const wider = deriveTerrain(once, hills, [
      { ...WANTED[1], title: 'Relative position, 1 km', radius: 1000 },
    ]).after;
    expect(wider.layers.map((l) => l.id)).toEqual([
      'hills',
      'slope',
      'relative-position',
      'relative-position 2',
    ]);
    const coast = { ...hills, id: 'coast', title: 'Coast' };
    const two = deriveTerrain({ ...once, layers: [...once.layers, coast] }, coast, [WANTED[0]]).after;
    expect(two.layers.at(-1)).toMatchObject({ id: 'slope 2', title: 'Slope (Coast)', from: 'coast' });
  });
});

describe('a computed layer', () => {
  const plan = deriveTerrain(start, hills, WANTED).after;
  const [, slope] = plan.layers;

  it('is opened after files, whatever the order of the plan, and brings what it is computed from', () => {
    const turned = plan.layers.toReversed();
    expect(openingOrder(turned).map((l) => l.id)).toEqual(['hills', 'relative-position', 'slope']);
    expect(withGrounds(turned, (l) => l.id === 'slope').map((l) => l.id)).toEqual(['slope', 'hills']);
  });

  it('has its ground, or a sentence', () => {
    expect(groundOf(slope, plan.layers)).toEqual({ ok: true, value: hills });
    const gone = groundOf(slope, removeLayer(plan, 'hills').after.layers);
    expect(gone.ok ? '' : gone.failure.what).toBe(
      'is computed from the layer "hills", which is not among the layers',
    );
    const other = groundOf(slope, [{ ...hills, definition: 'soil-ph' }, slope]);
    expect(other.ok ? '' : other.failure.what).toBe(
      'is computed from Hills, which is not an elevation raster',
    );
  });
});
