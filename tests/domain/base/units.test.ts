import { describe, expect, it } from 'vitest';
import * as u from '../../../src/domain/base/units.ts';

describe('units (NIST SP 811, 2008, appendix B; factors exact by definition)', () => {
  it('convert the defining amounts', () => {
    expect(u.feetToMetres(1)).toBe(0.3048);
    expect(u.milesToKilometres(1)).toBe(1.609344);
    expect(u.METRES_PER_QUARTER_MILE).toBe(402.336);
    expect(u.inchesToMillimetres(1)).toBe(25.4);
    expect(u.inchesToCentimetres(1)).toBe(2.54);
    expect(u.poundsToKilograms(1)).toBe(0.45359237);
    expect(u.METRES_PER_MILE).toBeCloseTo(5280 * u.METRES_PER_FOOT, 10);
    expect(u.SQUARE_METRES_PER_ACRE).toBeCloseTo(43_560 * u.METRES_PER_FOOT ** 2, 9);
    expect(u.hectaresToAcres(1)).toBeCloseTo(2.471053815, 9);
    expect(u.acresToHectares(1)).toBeCloseTo(0.40468564224, 14);
  });

  it('tell a temperature from a difference of temperatures', () => {
    expect(u.celsiusToFahrenheit(100)).toBe(212);
    expect(u.celsiusToFahrenheit(-40)).toBe(-40);
    expect(u.fahrenheitToCelsius(32)).toBe(0);
    expect(u.celsiusDifferenceToFahrenheit(10)).toBe(18);
    expect(u.fahrenheitDifferenceToCelsius(9)).toBe(5);
  });

  it('come back to where they started', () => {
    const pairs: ReadonlyArray<readonly [(x: number) => number, (x: number) => number]> = [
      [u.metresToFeet, u.feetToMetres],
      [u.kilometresToMiles, u.milesToKilometres],
      [u.millimetresToInches, u.inchesToMillimetres],
      [u.centimetresToInches, u.inchesToCentimetres],
      [u.kilogramsToPounds, u.poundsToKilograms],
      [u.hectaresToAcres, u.acresToHectares],
      [u.celsiusToFahrenheit, u.fahrenheitToCelsius],
      [u.celsiusDifferenceToFahrenheit, u.fahrenheitDifferenceToCelsius],
    ];
    for (const [to, back] of pairs)
      for (const x of [-12.5, 0, 0.1, 1, 1234.5]) expect(back(to(x))).toBeCloseTo(x, 10);
  });
});
