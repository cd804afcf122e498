import { unsignedOf } from './netcdfCells.ts';
import type { NcVariable } from './netcdfHeader.ts';
import type { Opened } from '../types.ts';

/** Classes of a variable of flags (CF 1.11, section 3.5): one word a value, underscores for spaces; colours if any. */
export function flagClasses(variable: NcVariable): NonNullable<Opened['classes']> {
  const { attributes } = variable;
  const { sign } = unsignedOf(variable);
  const values = attributes.get('flag_values');
  const meanings = attributes.get('flag_meanings');
  if (typeof values !== 'object' || typeof meanings !== 'string') return [];
  const words = meanings.trim().split(/\s+/);
  const colours = String(attributes.get('flag_colors') ?? '')
    .trim()
    .split(/\s+/);
  return values.flatMap((value, i) =>
    words[i] === undefined
      ? []
      : [
          {
            value: sign(value),
            name: words[i].replaceAll('_', ' '),
            colour: /^#[\da-f]{6}$/i.test(colours[i] ?? '') ? colours[i].toLowerCase() : null,
          },
        ],
  );
}
