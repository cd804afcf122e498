/** What the match of cells of a planting is computed with, from the open layers: spread and sites put together. */
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { Work } from '../../domain/base/work.ts';
import type { Plan, Planting } from '../../domain/plan/schema.ts';
import { siteTitle } from '../../domain/plan/sites.ts';
import { lackingSite } from '../../domain/vetting/match/lackingSite.ts';
import { surfaceSpec } from '../../domain/vetting/match/surface.ts';
import type { ChosenVariable, SpreadView, SurfaceSpec } from '../../domain/vetting/match/types.ts';
import { atSites } from './atSites.ts';
import type { Desk } from './desk.ts';
import { openVariables } from './openVariables.ts';
import { spread } from './spread.ts';

export interface SurfaceInputs {
  readonly spec: SurfaceSpec;
  readonly variables: readonly ChosenVariable[];
  readonly spread: SpreadView;
}

/** Failures 'variables': those of the variables, the sites and the spread; a site where a variable has no value. */
export async function surfaceSpecOf(
  desk: Desk,
  plan: Plan,
  planting: Planting,
  work: Work,
): Promise<Result<SurfaceInputs>> {
  const variables = openVariables(desk, planting, plan.layers);
  if (!variables.ok) return variables;
  const sites = await atSites(desk, { layers: plan.layers, planting }, work);
  if (!sites.ok) return sites;
  const lacking = lackingSite(sites.value, variables.value);
  if (lacking)
    return fail(
      'variables',
      siteTitle(planting, lacking.site),
      `has no ${Number.isNaN(lacking.value) ? 'value' : 'logarithm'} of ${lacking.variable.title}`,
      'Check where the site lies, choose a layer that reaches it, or leave this variable out.',
    );
  const taken = await spread(desk, { plan, plantingId: planting.id }, work);
  if (!taken.ok) return taken;
  const spec = surfaceSpec(variables.value, taken.value.spread, sites.value, planting.id);
  return ok({ spec, variables: variables.value, spread: taken.value });
}
