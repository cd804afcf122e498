import type { SpreadChoice } from '../domain/plan/schema.ts';
import { CIRCLE_KM } from '../domain/vetting/match/chooseBasis.ts';
import type { Units } from '../state/session.svelte.ts';
import { shown, unitOf } from './format.ts';

/**
 * Where a spread comes from, in the units of the user: "within 8 zones", "within 5 mi of the site (as chosen)".
 * @param choice of the planting: the radius is rounded from what was chosen, so that 5 mi that were typed in stay 5 mi.
 */
export function spreadWords(from: string, choice: SpreadChoice | undefined, units: Units): string {
  const km = choice?.kind === 'circle' ? choice.km : CIRCLE_KM;
  return from.replace(
    /^within [\d.]+ km/,
    `within ${Number(shown(km, 'distance', units).toPrecision(3))} ${unitOf('distance', units)}`,
  );
}
