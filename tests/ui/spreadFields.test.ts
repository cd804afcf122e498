/** Standard deviations as they are typed in, in both unit systems. */
import { describe, expect, it } from 'vitest';
import type { Transform, Unit } from '../../src/domain/layers/definition.ts';
import type { SpreadView, Variable } from '../../src/domain/vetting/match/types.ts';
import { shown, typed } from '../../src/ui/format.ts';
import { presentSds, roundedSd, sdField, sdOtherwise } from '../../src/ui/stages/planting/spreadFields.ts';

const variable = (id: string, unit: Unit, transform: Transform = 'identity'): Variable => ({
  id,
  title: id,
  unit,
  transform,
  period: '',
  words: ['more', 'less'],
});

describe('the field of a standard deviation', () => {
  it('shows degrees as a difference: 1 °C of spread are 1.8 °F, not 33.8', () => {
    const { quantity, scale } = sdField('°C', 'identity');
    if (quantity === null) throw new Error('no quantity');
    expect(scale).toBe(1);
    expect(shown(1, quantity, 'us')).toBe(1.8);
    expect(typed(1.8, quantity, 'us')).toBe(1);
    expect(shown(1, quantity, 'metric')).toBe(1);
  });

  it('shows millimetres as inches and metres as feet', () => {
    const rain = sdField('mm', 'identity').quantity;
    const height = sdField('m', 'identity').quantity;
    if (rain === null || height === null) throw new Error('no quantity');
    expect(shown(25.4, rain, 'us')).toBe(1);
    expect(shown(30.48, height, 'us')).toBe(100);
  });

  it('shows that of a logarithm in per cent, whatever the unit', () => {
    for (const unit of ['mm', 'm', '°C d', '%'] as const)
      expect(sdField(unit, 'log')).toEqual({ quantity: null, unit: '%', scale: 100 });
  });

  it('names the unit of what has no twin in the other system', () => {
    expect(sdField('days', 'identity')).toEqual({ quantity: null, unit: 'days', scale: 1 });
    expect(sdField('1', 'identity').unit).toBe('');
    expect(sdField('%', 'identity').unit).toBe('points');
    expect(sdField('°', 'identity').unit).toBe('°');
  });
});

describe('what typing begins with', () => {
  const view = {
    variables: [variable('t', '°C'), variable('r', 'mm', 'log')],
    spread: { covariance: Float64Array.of(0.7 ** 2, 0.01, 0.01, 0.0567 ** 2) },
  } as unknown as SpreadView;

  it('is the present spread to three figures as the user reads them', () => {
    const metric = presentSds(view, 'metric');
    expect(metric['t']).toBeCloseTo(0.7, 12);
    expect(metric['r']).toBeCloseTo(0.0567, 12);
    expect(shown(roundedSd(0.71234, sdField('°C', 'identity'), 'us'), 'difference', 'us')).toBe(1.28);
    expect(roundedSd(0.71234, sdField('°C', 'identity'), 'metric')).toBe(0.712);
    expect(roundedSd(0.056712, sdField('mm', 'log'), 'us')).toBeCloseTo(0.0567, 12);
  });
});

describe('a standard deviation when its variable is compared otherwise', () => {
  it('is carried over at the value of the site and comes back', () => {
    expect(sdOtherwise(100, 1000, 'log')).toBe(0.1);
    expect(sdOtherwise(0.1, 1000, 'identity')).toBe(100);
  });
  it('is not known without a value above zero', () => {
    expect(sdOtherwise(100, NaN, 'log')).toBe(undefined);
    expect(sdOtherwise(100, 0, 'log')).toBe(undefined);
    expect(sdOtherwise(undefined, 1000, 'log')).toBe(undefined);
  });
  it('agrees with a lognormal variable to first order', () => {
    // Exactly: sd / mean = sqrt(exp(s²) - 1) (Aitchison & Brown 1957): 0.10025 for s = 0.1.
    const s = 0.1;
    const exact = Math.sqrt(Math.exp(s * s) - 1);
    expect(sdOtherwise(exact * 900, 900, 'log')).toBeCloseTo(s, 3);
  });
});
