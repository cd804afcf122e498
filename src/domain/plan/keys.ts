/**
 * Keys of inputs: a result carries the key of what it was made from, so that a stale one is known without comparing data.
 * A key is the JSON text of just the parts of the plan that the result depends on.
 */
import type { Plan, Planting } from './schema.ts';

export function findPlanting(plan: Plan, id: string): Planting | null {
  return plan.plantings.find((p) => p.id === id) ?? null;
}

/** @param data changes whenever a layer's content does (opened, closed, relinked). */
export function vettingKey(plan: Plan, planting: Planting, data: string): string {
  const { species, site, variables, sitePeriod, rules, overrides, parents } = planting;
  // Title, source and date are shown on the sheet beside each measure; the licence is not.
  const layers = plan.layers.map((l) => ({ ...l, licence: undefined }));
  return JSON.stringify([
    data,
    planting.id,
    species,
    [site.lon, site.lat],
    variables,
    sitePeriod,
    rules,
    overrides,
    [parents.match, parents.origin, parents.quality],
    layers,
    plan.statements,
    plan.originWeights ?? null,
    plan.candidates,
  ]);
}

export function choiceKey(planting: Planting, vetting: string): string {
  return JSON.stringify([
    vetting,
    planting.parents.count,
    planting.parents.spacing,
    planting.locks,
    planting.bans,
  ]);
}

export function routeKey(planting: Planting, choice: string): string {
  return JSON.stringify([choice, planting.scouting, planting.site]);
}
