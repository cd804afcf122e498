import { describe, expect, it } from 'vitest';
import { spreadWords } from '../../src/ui/spreadWords.ts';

describe('where a spread comes from', () => {
  it('keeps a radius as it was typed in', () => {
    const from = (miles: number) =>
      `within ${Number((miles * 1.609344).toFixed(1))} km of the site (as chosen)`;
    expect(spreadWords(from(5), { kind: 'circle', km: 5 * 1.609344 }, 'us')).toBe(
      'within 5 mi of the site (as chosen)',
    );
    const fallback = 'within 50 km of the site (no zones loaded)';
    expect(spreadWords(fallback, { kind: 'zones' }, 'us')).toContain('within 31.1 mi of');
    expect(spreadWords(fallback, undefined, 'metric')).toBe(fallback);
    expect(spreadWords('within 8 zones', { kind: 'zones' }, 'us')).toBe('within 8 zones');
  });
});
