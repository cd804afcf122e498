import { layerDefinition } from '../../../../layers/index.ts';
import type { FileFacts } from '../../../state/answers.ts';

/** Name and colour of a class: the file's where it has a name, else the usual legend's; a number is no name. */
export function classOf(
  value: number,
  own: FileFacts['classes'],
  definition: string,
): { readonly name: string; readonly colour: string | null } {
  const legend = layerDefinition(definition)?.legend;
  const usual = legend?.kind === 'classes' ? legend.classes.find((c) => c.value === value) : undefined;
  const said = own.find((c) => c.value === value);
  const name = said && said.name !== String(value) ? said.name : '';
  // The map draws with the usual legend.
  return { name: name || (usual?.name ?? ''), colour: usual?.colour ?? said?.colour ?? null };
}
