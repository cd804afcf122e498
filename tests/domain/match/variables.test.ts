/** Which layers are offered as variables, how, and what is noticed about those chosen. */
import { describe, expect, it } from 'vitest';
import { layerDefinition } from '../../../layers/index.ts';
import { rng } from '../../../src/domain/base/rng.ts';
import type { LayerEntry } from '../../../src/domain/plan/schema.ts';
import { correlated } from '../../../src/domain/vetting/match/correlated.ts';
import { noLogarithm } from '../../../src/domain/vetting/match/logarithm.ts';
import { pairing } from '../../../src/domain/vetting/match/pairing.ts';
import {
  chosenSeveralTimes,
  usualVariables,
  variableGroups,
} from '../../../src/domain/vetting/match/variableGroups.ts';

const layer = (id: string, definition: string, period = ''): LayerEntry => ({
  id,
  definition,
  path: `${id}.tif`,
  band: 1,
  period,
  source: '',
  date: '',
  licence: '',
});
const LAYERS = [
  layer('ph', 'soil-ph'),
  layer('mat2', 'mean-annual-temperature', '2041-2070'),
  layer('z', 'zones'),
  layer('mat1', 'mean-annual-temperature', '1991-2020'),
  layer('cover', 'land-cover'),
  layer('map1', 'annual-precipitation', '1991-2020'),
  layer('e', 'elevation'),
  layer('ffp2', 'frost-free-period', '2041-2070'),
];

describe('the groups of variables', () => {
  it('are climate by period, terrain, soil; land cover and outlines are in none', () => {
    expect(
      variableGroups(LAYERS, layerDefinition).map((g) => [g.role, g.period, g.layers.map((l) => l.id)]),
    ).toEqual([
      ['climate', '1991-2020', ['mat1', 'map1']],
      ['climate', '2041-2070', ['mat2', 'ffp2']],
      ['terrain', '', ['e']],
      ['soil', '', ['ph']],
    ]);
  });

  it('begin with the earliest period of each climate variable', () => {
    expect(usualVariables(LAYERS, layerDefinition)).toEqual(['ph', 'mat1', 'map1', 'e', 'ffp2']);
  });

  it('hold every raster of numbers in exactly one', () => {
    const ids = variableGroups(LAYERS, layerDefinition).flatMap((g) => g.layers.map((l) => l.id));
    expect([...ids].sort()).toEqual(['e', 'ffp2', 'map1', 'mat1', 'mat2', 'ph']);
  });
});

describe('one climate variable chosen in two periods', () => {
  it('is noticed; another variable in the second period is not', () => {
    const twice = (chosen: string[]) =>
      chosenSeveralTimes(chosen, LAYERS, layerDefinition).map((same) => same.map((l) => l.id));
    expect(twice(['mat1', 'mat2', 'map1'])).toEqual([['mat2', 'mat1']]);
    expect(twice(['mat1', 'ffp2', 'e', 'ph'])).toEqual([]);
  });

  it('is not noticed of soil, whose layers of one name are depths', () => {
    const layers = [layer('top', 'soil-ph'), layer('deep', 'soil-ph')];
    expect(chosenSeveralTimes(['top', 'deep'], layers, layerDefinition)).toEqual([]);
  });
});

describe('the pairing of two periods', () => {
  it('names the twin of each climate variable, or none', () => {
    const planting = { variables: ['e', 'mat1', 'map1', 'ffp2'], sitePeriod: '2041-2070', transforms: {} };
    expect(
      pairing(planting, LAYERS, layerDefinition).map((p) => [p.layer.id, p.twins.map((t) => t.id)]),
    ).toEqual([
      ['mat1', ['mat2']],
      ['map1', []],
      // Read from the later period at the candidates too.
      ['ffp2', ['ffp2']],
    ]);
  });
});

describe('a logarithm', () => {
  it('needs a true zero and values above it', () => {
    expect(noLogarithm('mm', 700)).toBe(null);
    expect(noLogarithm('mm', 0)).toBe('not above zero');
    expect(noLogarithm('1', -0.9)).toBe('not above zero');
    expect(noLogarithm('mm', undefined)).toBe('not known');
    expect(noLogarithm('mm', NaN)).toBe('not known');
    // Ten degrees of frost or fifty of warmth: it depends on the scale which are above zero.
    expect(noLogarithm('°C', 8)).toBe('no true zero');
    expect(noLogarithm('pH', 4)).toBe('is a logarithm');
  });
});

describe('variables that go together', () => {
  it('are told by |r|, the closest first, with the one to do without', () => {
    // prettier-ignore
    const r = Float64Array.of(
      1, 0.91, 0.2,
      0.91, 1, -0.97,
      0.2, -0.97, 1,
    );
    expect(correlated(r)).toEqual([
      // The second goes along with both others.
      { a: 1, b: 2, r: -0.97, spare: 1 },
      { a: 0, b: 1, r: 0.91, spare: 1 },
    ]);
    expect(correlated(r, 0.95)).toHaveLength(1);
  });

  it('of two alone the later one is to spare', () => {
    expect(correlated(Float64Array.of(1, 0.95, 0.95, 1))).toEqual([{ a: 0, b: 1, r: 0.95, spare: 1 }]);
  });

  it('are exactly those of a plain search', () => {
    const seed = 4242;
    const random = rng(seed);
    for (let n = 0; n < 50; n++) {
      const k = 1 + Math.floor(random() * 8);
      const m = new Float64Array(k * k);
      for (let i = 0; i < k; i++)
        for (let j = 0; j <= i; j++) m[i * k + j] = m[j * k + i] = i === j ? 1 : 2 * random() - 1;
      const found = correlated(m, 0.5);
      let count = 0;
      for (let at = 0; at < k * k; at++) if (Math.floor(at / k) < at % k && Math.abs(m[at]) >= 0.5) count++;
      expect(found.length, `seed ${seed}, matrix ${n}`).toBe(count);
      for (const p of found) {
        expect(p.r).toBe(m[p.a * k + p.b]);
        expect([p.a, p.b]).toContain(p.spare);
      }
      expect(found.map((p) => Math.abs(p.r))).toEqual(
        [...found.map((p) => Math.abs(p.r))].sort((x, y) => y - x),
      );
    }
  });
});
