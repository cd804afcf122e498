import type { ChosenVariable, SiteReading } from './types.ts';

export interface LackingSite {
  /** Index of the site. */
  readonly site: number;
  readonly variable: ChosenVariable['variable'];
  /** NaN where there is none; else one without a logarithm, which is compared. */
  readonly value: number;
}

/** The first site with a variable that cannot be compared there, and that variable; null where all have all. */
export function lackingSite(
  readings: readonly SiteReading[],
  variables: ReadonlyArray<Pick<ChosenVariable, 'variable'>>,
): LackingSite | null {
  for (const [site, { values }] of readings.entries())
    for (const [i, { variable }] of variables.entries()) {
      const value = values[i];
      if (!Number.isFinite(value) || (variable.transform === 'log' && !(value > 0)))
        return { site, variable, value };
    }
  return null;
}
