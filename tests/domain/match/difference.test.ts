import { describe, expect, it } from 'vitest';
import type { Unit } from '../../../src/domain/layers/definition.ts';
import { difference } from '../../../src/domain/vetting/match/difference.ts';
import type { Variable } from '../../../src/domain/vetting/match/types.ts';

const variable = (unit: Unit, words: readonly [string, string]): Variable => ({
  id: 'x',
  title: 'X',
  unit,
  transform: 'identity',
  period: '',
  words,
});
const warmth = variable('°C', ['warmer', 'colder']);
const rain = variable('mm', ['wetter', 'drier']);
const height = variable('m', ['higher', 'lower']);

describe('the plain difference of one variable', () => {
  it('is candidate minus site in words', () => {
    expect(difference(9, 9.8, warmth, 'metric').words).toBe('warmer by 0.8 °C');
    expect(difference(1060, 1000, rain, 'metric').words).toBe('drier by 60 mm');
    expect(difference(200, 340, height, 'metric')).toEqual({
      value: 140,
      unit: 'm',
      words: 'higher by 140 m',
    });
  });

  it('in US customary units a difference of temperatures has no offset', () => {
    expect(difference(9, 10, warmth, 'us').words).toBe('warmer by 1.8 °F');
    expect(difference(1000, 949.2, rain, 'us').words).toBe('drier by 2.0 in');
    expect(difference(0, 30.48, height, 'us').words).toBe('higher by 100 ft');
    expect(difference(6, 5, variable('pH', ['more alkaline', 'more acid']), 'us').words).toBe(
      'more acid by 1.0 pH',
    );
  });

  it('percentages differ by points, plain numbers have no unit', () => {
    expect(difference(20, 25, variable('%', ['more clay', 'less clay']), 'metric').words).toBe(
      'more clay by 5.0 points',
    );
    expect(difference(0.2, 0.5, variable('1', ['higher', 'lower']), 'metric').words).toBe('higher by 0.30');
    const slope = variable('°', ['steeper', 'gentler']);
    expect(difference(2.4, 5.6, slope, 'us').words).toBe('steeper by 3.2°');
    expect(difference(2.4, 2.41, slope, 'metric').words).toBe('same to 0.1°');
    const facing = variable('1', ['more north-facing', 'more south-facing']);
    expect(difference(0.1, -0.2, facing, 'metric').words).toBe('more south-facing by 0.30');
  });

  it('says how exactly two values are the same, and when one is not known', () => {
    expect(difference(9, 9.04, warmth, 'metric').words).toBe('same to 0.1 °C');
    expect(difference(100, 100, rain, 'us').words).toBe('same to 0.1 in');
    expect(difference(NaN, 9, warmth, 'metric')).toMatchObject({ words: 'not known', value: NaN });
  });
});
