import { layerDefinition } from '../../../../layers/index.ts';
import type { Transform } from '../../../domain/layers/definition.ts';
import { setTransform } from '../../../domain/plan/change.ts';
import type { LayerEntry, Planting } from '../../../domain/plan/schema.ts';
import type { Kinstand } from '../../../state/kinstand.svelte.ts';
import { sdOtherwise } from './spreadFields.ts';
import { inSentence, titleOf } from './variableWords.ts';

/** Values of a variable at a site of the planting, as the newest vetting read them; NaN where it did not. */
export function atSite(k: Kinstand, p: Planting, id: string, site = 0): { now: number; values: number } {
  const v = k.results.vetting;
  const i = v?.plantingId === p.id ? (v.match?.variables.findIndex((x) => x.id === id) ?? -1) : -1;
  const reading = v?.sites[site]?.reading;
  return { now: reading?.now[i] ?? NaN, values: reading?.values[i] ?? NaN };
}

/** Compares a variable as it is or by its logarithm; a standard deviation that was typed in is taken along. */
export function compareBy(k: Kinstand, p: Planting, layer: LayerEntry, transform: Transform): void {
  const usual = layerDefinition(layer.definition)?.transform ?? 'identity';
  const sd = p.spread.kind === 'typed' ? p.spread.sd[layer.id] : undefined;
  const note = `Compare ${inSentence(titleOf(layer))} ${transform === 'log' ? 'by its logarithm' : 'as it is'}`;
  k.apply(
    setTransform(
      k.plan,
      p.id,
      layer.id,
      transform,
      usual,
      note,
      sdOtherwise(sd, atSite(k, p, layer.id).now, transform),
    ),
  );
}
