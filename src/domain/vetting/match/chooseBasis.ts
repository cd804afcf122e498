import { fail, ok, type Result } from '../../base/result.ts';
import type { Variable } from './types.ts';

/** Fewest complete reference cells that a zone (or the circle) must hold (methods, environmental match). */
export const LEAST_CELLS = 30;

/** Radius of the circle about the site that stands in for zones. */
export const CIRCLE_KM = 50;

export type Basis =
  | { readonly basis: 'zones'; readonly zones: number; readonly from: string }
  /** `instead`: why not the zones, "no zones loaded"; '' where the user chose the circle. */
  | { readonly basis: 'circle'; readonly from: string; readonly instead: string }
  /** `sd`: standard deviations as typed in, one a variable, of the transformed values. */
  | { readonly basis: 'typed'; readonly from: string; readonly sd: Float64Array };

/** @param about what the circle is drawn about: "the site". @param instead why zones will not do; '' = as the user chose. */
export const circleBasis = (km: number, about: string, instead: string): Basis => ({
  basis: 'circle',
  from: `within ${Number(km.toFixed(1))} km of ${about} (${instead || 'as chosen'})`,
  instead,
});

/**
 * The spread as the user typed it in. Failure 'variables': one that no standard deviation was typed for.
 * @param typed standard deviation by layer id.
 */
export function typedBasis(
  variables: ReadonlyArray<{ readonly variable: Variable }>,
  typed: Readonly<Record<string, number>>,
): Result<Basis> {
  const missing = variables.filter((v) => !(typed[v.variable.id] > 0)).map((v) => v.variable.title);
  if (missing.length > 0)
    return fail(
      'variables',
      missing.join(', '),
      'has no standard deviation typed in',
      'Type it in, leave the variable out, or take the spread from the zones.',
    );
  return ok({
    basis: 'typed',
    from: 'as typed in (no correlation between variables)',
    sd: Float64Array.from(variables, (v) => typed[v.variable.id]),
  });
}

/** Cells of each zone that hold a value of every variable. `values`: one column a variable, one row a cell. */
export function completeCells(
  values: readonly Float64Array[],
  zoneOf: Int32Array,
  zones: number,
): Int32Array {
  const counts = new Int32Array(zones);
  for (let i = 0; i < zoneOf.length; i++)
    if (values.every((column) => Number.isFinite(column[i]))) counts[zoneOf[i]]++;
  return counts;
}

/**
 * Zones with some, but too few, complete cells. Zones without any (off the rasters) do not count.
 * @param quota most cells that were drawn from a zone: where a great many zones leave a quota under 30, a full quota is
 *   enough, since all zones share in the one spread.
 */
export function zonesTooSmall(complete: Int32Array, quota: number): number[] {
  const least = Math.min(LEAST_CELLS, quota);
  const small: number[] = [];
  complete.forEach((n, zone) => {
    if (n > 0 && n < least) small.push(zone);
  });
  return small;
}

/**
 * Whether the spread is taken within the zones or within the circle about the site, and the words for the screen.
 * @param complete complete cells a zone (empty where no zones are loaded). @param names of the zones.
 * @param about what the circle would be drawn about.
 */
export function chooseBasis(
  complete: Int32Array,
  quota: number,
  names: readonly string[],
  about = 'the site',
): Basis {
  const circle = (why: string): Basis => circleBasis(CIRCLE_KM, about, why);
  if (complete.length === 0) return circle('no zones loaded');
  const zones = complete.reduce((n, cells) => n + (cells > 0 ? 1 : 0), 0);
  if (zones === 0) return circle('no zone holds a cell with a value of every variable');
  const small = zonesTooSmall(complete, quota);
  if (small.length > 0) {
    const [first] = small;
    const more =
      small.length > 1 ? `, and ${small.length - 1} more zone${small.length > 2 ? 's' : ''} too few` : '';
    const cells = complete[first] === 1 ? '1 cell' : `${complete[first]} cells`;
    return circle(`zone ${names[first]} holds only ${cells} with all variables${more}`);
  }
  return { basis: 'zones', zones, from: zones === 1 ? 'within 1 zone' : `within ${zones} zones` };
}
