import { describe, expect, it } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import {
  correlationWords,
  fromWords,
  groupTitle,
  inSentence,
  listed,
  noLogarithmWords,
  pairingTrouble,
  unitShown,
} from '../../src/ui/stages/planting/variableWords.ts';

const layer = (id: string, period: string): LayerEntry => ({
  id,
  definition: 'frost-free-period',
  path: `${id}.tif`,
  band: 1,
  period,
  source: '',
  date: '',
  licence: '',
});

describe('words on the variables', () => {
  it('head a group by its role and period', () => {
    expect(groupTitle('climate', '1991-2020')).toBe('Climate 1991-2020');
    expect(groupTitle('soil', '')).toBe('Soil');
  });
  it('give the unit that the user reads', () => {
    expect(unitShown('°C', 'us')).toBe('°F');
    expect(unitShown('°C d', 'us')).toBe('°F d');
    expect(unitShown('mm', 'metric')).toBe('mm');
    expect(unitShown('days', 'us')).toBe('days');
    expect(unitShown('1', 'us')).toBe('');
  });
  it('write a title inside a sentence, and leave what begins with capitals', () => {
    expect(inSentence('Annual precipitation')).toBe('annual precipitation');
    expect(inSentence('PET of summer')).toBe('PET of summer');
  });
  it('keep a radius as it was typed in', () => {
    const from = (miles: number) =>
      `within ${Number((miles * 1.609344).toFixed(1))} km of the site (as chosen)`;
    expect(fromWords(from(5), 5 * 1.609344, 'us')).toBe('within 5 mi of the site (as chosen)');
    expect(fromWords('within 50 km of the site (no zones loaded)', 50, 'us')).toContain('within 31.1 mi of');
    expect(fromWords('within 8 zones', 50, 'us')).toBe('within 8 zones');
  });
  it('write a correlation of 1 only where it is one', () => {
    expect([0.9996, -0.9996, 1, -1, 0.123].map(correlationWords)).toEqual([
      '0.99',
      '−0.99',
      '1.00',
      '−1.00',
      '0.12',
    ]);
  });
  it('list names', () => {
    expect(listed(['a'])).toBe('a');
    expect(listed(['a', 'b'])).toBe('a and b');
    expect(listed(['a', 'b', 'c'])).toBe('a, b and c');
  });
  it('say why a variable has no logarithm, in the units of the user', () => {
    expect(noLogarithmWords('not above zero', -25.4, 'mm', 'us')).toBe(
      'its least value, -1 in, has no logarithm',
    );
    expect(noLogarithmWords('no true zero', 5, '°C', 'us')).toContain('no true zero');
  });
  it('refuse a variable without a twin, and one with several, and say what to do', () => {
    const own = layer('a', '1991-2020');
    expect(pairingTrouble({ layer: own, twins: [layer('b', '2041-2070')] }, '2041-2070')).toBe(null);
    expect(pairingTrouble({ layer: own, twins: [] }, '2041-2070')).toBe(
      'Frost-free period has no layer of 2041-2070: add it in the Layers stage, or leave this variable out.',
    );
    expect(
      pairingTrouble({ layer: own, twins: [layer('b', '2041-2070'), layer('c', '2041-2070')] }, '2041-2070'),
    ).toMatch(/has 2 layers of 2041-2070: keep one/);
  });
});
