import { ok, type Result } from '../../../domain/base/result.ts';
import type { Source } from '../../source.ts';
import { cfDates } from './cfTime.ts';
import { axisValues } from './netcdfAxis.ts';
import { textOfAttribute, type Grid } from './netcdfGrids.ts';
import type { NcHeader } from './netcdfHeader.ts';

/** A name for each band: the variable's long name and unit, then the date or the value along each further dimension. */
export async function bandNames(source: Source, header: NcHeader, grid: Grid): Promise<Result<string[]>> {
  const { attributes, name } = grid.variable;
  const unit = textOfAttribute(attributes, 'units');
  const title =
    (textOfAttribute(attributes, 'long_name') || name) + (unit && unit !== '1' ? ` (${unit})` : '');
  let names = [title];
  for (const dimension of grid.others) {
    const labels = await labelsOf(source, header, dimension);
    if (!labels.ok) return labels;
    // A dimension of one step tells nothing more.
    if (labels.value.length > 1) names = names.flatMap((n) => labels.value.map((label) => `${n}, ${label}`));
  }
  return ok(names);
}

async function labelsOf(source: Source, header: NcHeader, dimension: number): Promise<Result<string[]>> {
  const { name, size } = header.dimensions[dimension];
  const counted = (): Result<string[]> => ok(Array.from({ length: size }, (_, i) => `${name} ${i + 1}`));
  const variable = header.variables.find(
    (v) => v.name === name && v.dimensions.length === 1 && v.dimensions[0] === dimension && v.type !== 'char',
  );
  if (!variable || size < 2) return counted();
  const values = await axisValues(source, header, variable);
  if (!values.ok) return values;
  if (!values.value) return counted();
  const unit = textOfAttribute(variable.attributes, 'units');
  const date = cfDates(unit, textOfAttribute(variable.attributes, 'calendar') || undefined);
  const short = /^1?$/.test(unit) || / since /i.test(unit) ? '' : ` ${unit}`;
  return ok(
    Array.from(values.value, (v) => (date ? date(v) : `${name} ${Number(v.toPrecision(7))}${short}`)),
  );
}
