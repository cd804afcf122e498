/** Units at the edge. Factors: yard and pound agreement of 1959 (1 ft = 0.3048 m, 1 mi = 1609.344 m, 1 in = 25.4 mm). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  amount,
  capital,
  clock,
  duration,
  far,
  letters,
  limitWords,
  measured,
  share,
  shown,
  stopped,
  times,
  travel,
  typed,
  type Quantity,
} from '../../src/ui/format.ts';

const QUANTITIES: Quantity[] = [
  'length',
  'distance',
  'temperature',
  'difference',
  'heat',
  'rain',
  'diameter',
  'speed',
];

describe('values with units', () => {
  it('writes the quarter mile between mother trees as 1,320 ft', () => {
    expect(amount(402.336, 'length', 'us')).toBe('1,320 ft');
    expect(amount(402.336, 'length', 'metric')).toBe('402 m');
  });

  it('adds the offset to a temperature and not to a difference', () => {
    expect(measured(10, '°C', 'us')).toBe('50.0 °F');
    expect(measured(10, '°C', 'us', true)).toBe('18.0 °F');
    expect(measured(-40, '°C', 'us')).toBe('-40.0 °F');
  });

  it('scales degree days, which have no offset', () => {
    expect(measured(1500, '°C d', 'us')).toBe('2,700 °F d');
    expect(measured(1500, '°C d', 'metric')).toBe('1,500 °C d');
  });

  it('turns to miles at a mile and to km at a km', () => {
    expect(far(1609, 'us')).toBe('5,279 ft');
    expect(far(1610, 'us')).toBe('1.0 mi');
    expect(far(999, 'metric')).toBe('999 m');
    expect(far(1000, 'metric')).toBe('1.0 km');
  });

  it('writes a share of the ground in per cent', () => {
    expect(measured(0.012, 'share', 'us')).toBe('1.2 %');
    expect(measured(0, 'share', 'metric')).toBe('0 %');
    expect(measured(0.5, 'share', 'us')).toBe('50 %');
  });

  it('keeps one unit through a column of travel', () => {
    expect([200, 20_000].map((m) => travel(m, 'us'))).toEqual(['0.1 mi', '12.4 mi']);
  });

  it('says that a value is not known rather than a number', () => {
    expect(measured(NaN, 'm', 'us')).toBe('not known');
    expect(amount(NaN, 'length', 'metric')).toBe('—');
    expect(share(NaN)).toBe('—');
  });

  it('comes back to the value that was shown, for every quantity, both ways', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...QUANTITIES),
        fc.constantFrom('us' as const, 'metric' as const),
        fc.double({ min: -5000, max: 5000, noNaN: true }),
        (quantity, units, x) => {
          // Input fields show seven digits; with the offset of °F the loss can be that of a number 32 larger.
          expect(Math.abs(typed(shown(x, quantity, units), quantity, units) - x)).toBeLessThan(
            1e-6 * (Math.abs(x) + 32),
          );
        },
      ),
    );
  });
});

describe('limits of rules in the units of the user', () => {
  it('converts every figure with a length, and only those', () => {
    expect(limitWords('at most 150 m below and 1,500 m above the site', 'us')).toBe(
      'at most 492 ft below and 4,921 ft above the site',
    );
    expect(limitWords('at most 160 km, 80 km northward', 'us')).toBe('at most 99.4 mi, 49.7 mi northward');
    expect(limitWords('at most 2 other oaks of the section on record within 100 m', 'us')).toBe(
      'at most 2 other oaks of the section on record within 328 ft',
    );
    expect(limitWords('within 2 °C of the site', 'us')).toBe('within 3.6 °F of the site');
  });
  it('leaves metric limits, zone keys and shares as they are', () => {
    expect(limitWords('within 150 m of the site', 'metric')).toBe('within 150 m of the site');
    expect(limitWords('zone Z5 of the site or adjacent', 'us')).toBe('zone Z5 of the site or adjacent');
    expect(limitWords('at least 0.05', 'us')).toBe('at least 0.05');
    expect(limitWords('at most 3 months', 'us')).toBe('at most 3 months');
  });
});

describe('shares, times and letters', () => {
  it('never rounds a share to a false 0 or 1', () => {
    expect([0, 0.001, 0.5, 0.997, 1].map(share)).toEqual(['0.00', '<0.01', '0.50', '>0.99', '1.00']);
  });
  it('carries minutes into hours', () => {
    expect(clock(7 * 3600 + 59 * 60 + 40)).toBe('08:00');
    expect(duration(3 * 3600 + 5 * 60)).toBe('3 h 05 min');
    expect(duration(1499)).toBe('25 min');
  });
  it('letters the 27th reserve AA, so that no two share a letter', () => {
    expect([0, 25, 26, 51, 52].map(letters)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA']);
    expect(new Set(Array.from({ length: 500 }, (_, i) => letters(i))).size).toBe(500);
  });
});

describe('sentences', () => {
  it('end in one stop, whoever wrote it', () => {
    expect(['is cut short', 'Load it again.', 'Is it?', 'Looking …', ''].map(stopped)).toEqual([
      'is cut short.',
      'Load it again.',
      'Is it?',
      'Looking …',
      '',
    ]);
  });
  it('begin with a capital, names left as they are', () => {
    expect(capital('ask the owner at Quill Ford')).toBe('Ask the owner at Quill Ford');
    expect(capital('')).toBe('');
  });
  it('give factors to two figures', () => {
    expect([1.05, 1.5, 9.94, 10.4, 1234].map(times)).toEqual(['×1.1', '×1.5', '×9.9', '×10', '×1,234']);
  });
});
