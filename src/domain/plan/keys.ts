/**
 * Keys of inputs: a result carries the key of what it was made from, so that a stale one is known without comparing data.
 * A key is the JSON text of just the parts of the plan that the result depends on.
 */
import type { Plan, Planting } from './schema.ts';
import { sitesOf } from './sites.ts';

export function findPlanting(plan: Plan, id: string): Planting | null {
  return plan.plantings.find((p) => p.id === id) ?? null;
}

/** Where the sites are and what they are called (the sheet names the one that a tree is least like). */
const sitesKey = (planting: Planting): unknown => sitesOf(planting);

/** Which variables are compared, and against what spread; what was chosen for others counts for nothing. */
const variablesKey = ({ variables, transforms, spread, sitePeriod }: Planting): unknown => [
  variables.map((v) => [v, transforms[v] ?? null]),
  spread.kind === 'typed' ? variables.map((v) => spread.sd[v] ?? null) : spread,
  sitePeriod,
];

/** @param circle it is taken from the circle about the first site: only then does it hang on where that is, and whether it is the only one. */
export function spreadKey(plan: Plan, planting: Planting, data: string, circle: boolean): string {
  return JSON.stringify([
    data,
    planting.id,
    circle ? [planting.site.lon, planting.site.lat, planting.moreSites.length > 0] : null,
    variablesKey(planting),
    layersKey(plan),
  ]);
}

/** Where the sites are, whatever they are called. */
const placesKey = (planting: Planting): unknown =>
  sitesOf(planting).map(({ lon, lat, area }) => [lon, lat, area ?? null]);

/** Of what the sites' values of the variables are read from. */
export const siteReadingKey = (plan: Plan, planting: Planting, data: string): string =>
  JSON.stringify([data, placesKey(planting), planting.variables, planting.sitePeriod, layersKey(plan)]);

/** Of all that the match surface hangs on. */
export const surfaceKey = (plan: Plan, planting: Planting, data: string): string =>
  JSON.stringify([data, planting.id, placesKey(planting), variablesKey(planting), layersKey(plan)]);

/** Of what is drawn about one candidate: where trees and layers are, not what is thought of them. */
export const evidenceKey = (plan: Plan, candidate: string, data: string): string =>
  JSON.stringify([
    candidate,
    data,
    plan.candidates,
    plan.evidence.link,
    plan.layers.map((l) => [
      l.id,
      l.definition,
      l.band,
      l.classes ?? null,
      l.columns ?? null,
      l.names ?? null,
    ]),
  ]);

// Title, source and date are shown on the sheet beside each measure; the licence is not.
const layersKey = (plan: Plan): unknown => plan.layers.map((l) => ({ ...l, licence: undefined }));

/** @param data changes whenever a layer's content does (opened, closed, relinked). */
export function vettingKey(plan: Plan, planting: Planting, data: string): string {
  const { species, rules, overrides, parents } = planting;
  return JSON.stringify([
    data,
    planting.id,
    species,
    sitesKey(planting),
    variablesKey(planting),
    rules,
    overrides,
    [parents.match, parents.origin, parents.quality],
    layersKey(plan),
    plan.statements,
    plan.originWeights ?? null,
    plan.evidence,
    plan.candidates,
  ]);
}

/** Of how the trees about a candidate stand to one another. */
export const patternKey = (plan: Plan, candidate: string, data: string): string =>
  JSON.stringify([data, candidate, plan.evidence.link, layersKey(plan), plan.candidates]);

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
