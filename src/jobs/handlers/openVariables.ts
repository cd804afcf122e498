import { layerDefinition } from '../../../layers/index.ts';
import { fail, ok, type Result } from '../../domain/base/result.ts';
import type { LayerEntry } from '../../domain/plan/schema.ts';
import { chosenVariables, type VariableChoice } from '../../domain/vetting/match/chosenVariables.ts';
import type { ChosenVariable } from '../../domain/vetting/match/types.ts';
import type { Raster } from '../../io/read/rasters/raster.ts';
import type { Desk } from './desk.ts';

/** A chosen variable with the rasters that it is read from, as they are open on the desk. */
export interface OpenVariable extends ChosenVariable {
  readonly raster: Raster;
  readonly band: number;
  /** For the sites: the same, or its twin in the period of the sites. */
  readonly siteRaster: Raster;
  readonly siteBand: number;
}

/** The variables of a planting, in its order. Failures, all 'variables': those of `chosenVariables`; a layer that is not open. */
export function openVariables(
  desk: Desk,
  planting: VariableChoice,
  layers: readonly LayerEntry[],
): Result<OpenVariable[]> {
  const chosen = chosenVariables(planting, layers, layerDefinition);
  if (!chosen.ok) return chosen;
  const open: OpenVariable[] = [];
  for (const variable of chosen.value) {
    const at = desk.layers.get(variable.layer.id)?.opened.content;
    const atSite = desk.layers.get(variable.siteLayer.id)?.opened.content;
    if (at?.kind !== 'raster' || atSite?.kind !== 'raster')
      return fail(
        'variables',
        variable.variable.title,
        at?.kind === 'raster' ? `is not open for the period ${variable.siteLayer.period}` : 'is not open',
        'See what is wrong with it in the Layers stage, or leave this variable out.',
      );
    open.push({
      ...variable,
      raster: at.raster,
      band: variable.layer.band,
      siteRaster: atSite.raster,
      siteBand: variable.siteLayer.band,
    });
  }
  return ok(open);
}
