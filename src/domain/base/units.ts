/**
 * Conversions between the program's units and US customary ones. All factors are exact by definition: the international
 * yard and pound agreement of 1959 (1 yd = 0.9144 m, 1 lb = 0.45359237 kg; US Federal Register 24 FR 5348) and NIST
 * Special Publication 811 (2008), appendix B. The US survey foot (1200/3937 m), retired at the end of 2022, is not used.
 */
export const METRES_PER_FOOT = 0.3048;
export const METRES_PER_MILE = 1609.344;
/** The trade's usual spacing of mother trees. */
export const METRES_PER_QUARTER_MILE = METRES_PER_MILE / 4; // 402.336
export const MILLIMETRES_PER_INCH = 25.4;
export const CENTIMETRES_PER_INCH = 2.54;
export const KILOGRAMS_PER_POUND = 0.45359237;
/** 43 560 square international feet. */
export const SQUARE_METRES_PER_ACRE = 4046.8564224;
export const SQUARE_METRES_PER_HECTARE = 10_000;

export const metresToFeet = (m: number): number => m / METRES_PER_FOOT;
export const feetToMetres = (ft: number): number => ft * METRES_PER_FOOT;
export const kilometresToMiles = (km: number): number => (km * 1000) / METRES_PER_MILE;
export const milesToKilometres = (mi: number): number => (mi * METRES_PER_MILE) / 1000;
export const millimetresToInches = (mm: number): number => mm / MILLIMETRES_PER_INCH;
export const inchesToMillimetres = (inches: number): number => inches * MILLIMETRES_PER_INCH;
export const centimetresToInches = (cm: number): number => cm / CENTIMETRES_PER_INCH;
export const inchesToCentimetres = (inches: number): number => inches * CENTIMETRES_PER_INCH;
export const kilogramsToPounds = (kg: number): number => kg / KILOGRAMS_PER_POUND;
export const poundsToKilograms = (lb: number): number => lb * KILOGRAMS_PER_POUND;
export const hectaresToAcres = (ha: number): number =>
  (ha * SQUARE_METRES_PER_HECTARE) / SQUARE_METRES_PER_ACRE;
export const acresToHectares = (acres: number): number =>
  (acres * SQUARE_METRES_PER_ACRE) / SQUARE_METRES_PER_HECTARE;

/** A temperature. */
export const celsiusToFahrenheit = (c: number): number => c * 1.8 + 32;
export const fahrenheitToCelsius = (f: number): number => (f - 32) / 1.8;
/** A difference between two temperatures: no offset. */
export const celsiusDifferenceToFahrenheit = (c: number): number => c * 1.8;
export const fahrenheitDifferenceToCelsius = (f: number): number => f / 1.8;
