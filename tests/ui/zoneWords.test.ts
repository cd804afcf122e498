/** What the ranking of zones says in words: counted from its rows, hand-worked. Zones are invented. */
import { describe, expect, it } from 'vitest';
import type { ZoneRow } from '../../src/domain/vetting/zoneRanking.ts';
import { advice, area, cellWords, percent, threshold, zoneRule } from '../../src/ui/where/zoneWords.ts';

const zone = (name: string, part: Partial<ZoneRow>): ZoneRow => ({
  zone: 0,
  key: name,
  name,
  contact: 'other',
  km2: 100,
  knownKm2: 100,
  overKm2: 100 * (part.share ?? 0),
  share: 0,
  best: 0.9,
  bestPlace: null,
  candidates: 0,
  eligible: 0,
  km: 10,
  ...part,
});
const home = zone('Home Flats', { contact: 'home', share: 0.34, km: 0 });
const plain = (sentences: string[]): string[] => sentences.map((s) => s.replaceAll('\u00a0', ' '));

describe('the advice of a ranking', () => {
  it('counts the zones with much, and names the nearest of them', () => {
    const rows = [
      home,
      zone('Far Hills', { share: 0.5, km: 100 }),
      zone('Near Hills', { share: 0.11, km: 38.6, eligible: 3, candidates: 5 }),
      // A tenth is not more than a tenth.
      zone('Nearest Hills', { share: 0.1, km: 1 }),
    ];
    expect(plain(advice(rows, 0.05, 'us'))).toEqual([
      'Home Flats, the home zone, has 34 % of its area at 0.05 or better.',
      '2 other zones have more than a tenth of their area at 0.05 or better; nearest: Near Hills, 24.0 mi.',
      'Eligible candidates stand in Near Hills (3).',
    ]);
  });

  it('speaks of one zone as of one', () => {
    const said = plain(advice([home, zone('Near Hills', { share: 0.2, km: 2 })], 0.125, 'metric'));
    expect(said[1]).toBe(
      '1 other zone has more than a tenth of its area at 0.125 or better: Near Hills, 2.0 km away.',
    );
  });

  it('names the one with most where none has much', () => {
    const rows = [
      zone('Home Flats', { contact: 'home', km: 0 }),
      zone('A', { share: 0.01 }),
      zone('B', { share: 0.04 }),
    ];
    expect(plain(advice(rows, 0.2, 'metric')).slice(0, 2)).toEqual([
      'Home Flats, the home zone, has no ground at 0.20 or better.',
      'No other zone has more than a tenth of its area at 0.20 or better; most has B, 4.0 %, 10.0 km away.',
    ]);
  });

  it('says so where nothing is over the threshold, with the best there is', () => {
    const rows = [zone('A', { best: 0.012 }), zone('B', { best: 0.034 })];
    expect(advice(rows, 0.5, 'us')).toEqual([
      'No zone has ground at 0.50 or better. The best match of all is 0.034, in B.',
    ]);
    expect(advice([zone('A', { best: 1e-9 })], 0.5, 'us')[0]).toContain('under 0.001, in A');
  });

  it('knows no home where the site lies in no zone, and counts no candidates before they are vetted', () => {
    const said = advice(
      [zone('A', { share: 0.2, contact: 'unknown', candidates: NaN, eligible: NaN })],
      0.05,
      'us',
    );
    expect(said).toEqual(['1 zone has more than a tenth of its area at 0.05 or better: A, 6.2 mi away.']);
  });

  it('says that layers do not reach the zones', () => {
    expect(advice([zone('A', { share: NaN, knownKm2: 0, best: NaN })], 0.05, 'us')[0]).toContain(
      'do not reach',
    );
  });

  it('names three zones with eligible candidates, most first, and counts the rest', () => {
    const rows = [1, 5, 3, 2].map((eligible) => zone(`Z${eligible}`, { share: 0.5, eligible }));
    expect(advice(rows, 0.05, 'us').at(-1)).toBe(
      'Eligible candidates stand in Z5 (5), Z3 (3), Z2 (2) and 1 more.',
    );
  });
});

describe('the rule on zones beside a ranking', () => {
  it('is told where it rules trees of other zones out', () => {
    const rule = { strength: 'must', adjacent: true, cornerCounts: false, snap: 30 } as const;
    expect(zoneRule(rule)).toMatch(/home zone and of those adjacent to it count/);
    expect(zoneRule({ ...rule, cornerCounts: true })).toMatch(/also at a corner count/);
    expect(zoneRule({ ...rule, adjacent: false })).toMatch(/only trees of the home zone count/);
    expect(zoneRule({ ...rule, strength: 'prefer' })).toBe('');
  });
});

describe('figures of a ranking', () => {
  it('gives areas in units of their size', () => {
    // 1 mi² = 2.589988110336 km² and 640 acres, from the international mile of 1,609.344 m.
    expect(area(2.589988110336 * 25, 'us')).toBe('25 mi²');
    expect(area(2.589988110336 / 2, 'us')).toBe('320 acres');
    expect(area(0.004046856, 'us')).toBe('1.0 acres');
    expect([area(154.4, 'metric'), area(2.5, 'metric'), area(0.25, 'metric'), area(0, 'metric')]).toEqual([
      '154 km²',
      '2.5 km²',
      '25 ha',
      '0 ha',
    ]);
    expect(area(NaN, 'us')).toBe('—');
  });

  it('never rounds a share to none or all of a zone', () => {
    const said = [0, 0.0001, 0.034, 0.34, 0.999, 1, NaN].map((x) => percent(x).replace('\u00a0', ' '));
    expect(said).toEqual(['0 %', '<0.1 %', '3.4 %', '34 %', '>99 %', '100 %', '—']);
  });

  it('writes a threshold as finely as it was set', () => {
    expect([0, 0.05, 0.125, 0.29, 1].map(threshold)).toEqual(['0.00', '0.05', '0.125', '0.29', '1.00']);
  });

  it('tells which cells were taken', () => {
    const far = (m: number): string => `${m} m`;
    expect(cellWords(1, 1000, far)).toBe('Every cell of 1000 m was taken, by its centre.');
    expect(cellWords(4, 30, far)).toContain('One cell in 4 each way was taken, of cells of 30 m');
  });
});
