import { describe, expect, it } from 'vitest';
import type { LayerEntry } from '../../src/domain/plan/schema.ts';
import {
  correlationWords,
  groupTitle,
  inSentence,
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
  it('write a correlation of 1 only where it is one', () => {
    expect([0.9996, -0.9996, 1, -1, 0.123].map(correlationWords)).toEqual([
      '0.99',
      '−0.99',
      '1.00',
      '−1.00',
      '0.12',
    ]);
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
