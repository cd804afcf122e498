/** Units that a file's values may be in, and how they become the unit that a definition counts in. */
import type { Unit } from './definition.ts';

export interface FileUnit {
  /** As the user reads it and the plan keeps it. */
  readonly name: string;
  /** value in the definition's unit = factor * value in the file + offset. */
  readonly factor: number;
  readonly offset: number;
}

const unit = (name: string, factor: number, offset = 0): FileUnit => ({ name, factor, offset });

/**
 * Exact by definition: foot 0.3048 m, US survey foot 1200/3937 m, inch 25.4 mm, degree Fahrenheit 5/9 °C from 32 °F, kelvin
 * from 273.15 K (NIST Special Publication 811, appendix B; from memory). Tenths are how integer grids keep decimals.
 */
const OTHERS: Readonly<Partial<Record<Unit, readonly FileUnit[]>>> = {
  m: [unit('ft', 0.3048), unit('US survey ft', 1200 / 3937), unit('cm', 0.01), unit('dm', 0.1)],
  '°C': [unit('°F', 5 / 9, -160 / 9), unit('K', 1, -273.15), unit('0.1 °C', 0.1)],
  '°C d': [unit('°F d', 5 / 9)],
  '°': [unit('rad', 180 / Math.PI)],
  mm: [unit('in', 25.4), unit('cm', 10), unit('0.1 mm', 0.1)],
  '%': [unit('share of 1', 100)],
  pH: [unit('0.1 pH', 0.1)],
};

/** The other units that values of this kind come in; none for classes and for numbers without a unit. */
export const otherUnits = (of: Unit | null): readonly FileUnit[] => (of ? (OTHERS[of] ?? []) : []);

/** How a file's values become the definition's; null where they are in its unit, or in one that is not known. */
export const fromFileUnit = (of: Unit | null, file: string | undefined): FileUnit | null =>
  otherUnits(of).find((u) => u.name === file) ?? null;
